#pragma once
/// What a fan can do with a demand: least and largest, how fast it may change, and the zone between
/// nothing and the least speed in which it can't run.

#include "control/result.hpp"
#include "control/trace.hpp"

namespace leeward::control {

struct DemandLimits {
  double start_frac = 0;       ///< least demand at which the fan runs
  double stop_below_frac = 0;  ///< a running fan is let down to start_frac, and stopped below this
  double max_frac = 1;
  double up_per_s = 0.5;
  double down_per_s = 1;
  bool operator==(const DemandLimits&) const = default;
};

/// @returns the limits where they make sense, else the field and what is allowed
[[nodiscard]] Result<DemandLimits> checked(const DemandLimits& limits);

struct DemandState {
  double demand_frac = 0;  ///< of the last step
  bool running = false;
  bool operator==(const DemandState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("demand_frac", &DemandState::demand_frac);
    v("running", &DemandState::running);
  }
};

struct DemandOutput {
  double demand_frac = 0;
  DemandState next;
  LimitedBy limited_by = LimitedBy::nothing;
};

/// One step towards a wanted demand. Between stop_below and start a fan keeps doing what it did: that is
/// the hysteresis. Into and out of the zone it can't run in it jumps. Tell the PID what came of it.
/// Range   0, or start_frac..max_frac, whatever comes in; a wanted demand that is not finite, or a step
///         without time, holds
[[nodiscard]] DemandOutput demand_step(const DemandLimits& limits, const DemandState& state,
                                       double wanted_frac, double dt_s) noexcept;

}  // namespace leeward::control
