#pragma once
/// The pressure regulator: a moving reference, feed-forward from the learnt curves, and the plain
/// 2-DOF PI(D) about it with gains scheduled over pressure.

#include <cstdint>

#include "control/engine_config.hpp"
#include "control/estimate/fan_map.hpp"
#include "control/estimate/house_curve.hpp"
#include "control/regulate/pid.hpp"
#include "control/regulate/reference_profile.hpp"
#include "control/trace.hpp"

namespace leeward::control {

/// Pressures are induced sizes along the direction of the test.
struct RegulatorInput {
  double dt_s = 0;
  bool drive = false;
  double target_pa = 0;
  double rate_pa_s = 0;  ///< 0: as fast as the regulator will
  double keep_frac = 0;  ///< above 0: this demand, whatever the pressure does
  bool fresh = false;    ///< measured_pa is a new accepted reading
  std::int64_t stamp_ns = 0;
  double measured_pa = 0;
  int swings = 0;                ///< of the demand in a row, as the guard counts them
  double last_applied_frac = 0;  ///< after every later limit, the guard's included
  double min_demand_frac = 0;
  double max_demand_frac = 1;
  int fans = 1;
  double volume_m3 = 0;  ///< 0: not told
  const HouseCurve* house = nullptr;
  const FanMap* fan_map = nullptr;
  const FanCurve* curve = nullptr;
  const RestrictionSpec* restriction = nullptr;
};

struct RegulatorState {
  bool active = false;
  bool keeping = false;  ///< the last tick kept its demand
  ReferenceState reference;
  double expected_pa = 0;   ///< where the pressure should be by now: the reference, lagged as the sensor is
  double last_lead_pa = 0;  ///< what the last feed-forward was made for
  double last_feedforward = 0;
  PidState pid;
  PidTuning tuning;  ///< of the last tick: a change of gain must not move the fan
  bool operator==(const RegulatorState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("active", &RegulatorState::active);
    v("keeping", &RegulatorState::keeping);
    v("reference", &RegulatorState::reference);
    v("expected_pa", &RegulatorState::expected_pa);
    v("last_lead_pa", &RegulatorState::last_lead_pa);
    v("last_feedforward", &RegulatorState::last_feedforward);
    v("pid", &RegulatorState::pid);
    v("tuning", &RegulatorState::tuning);
  }
};

struct RegulatorOutput {
  double demand_frac = 0;
  LimitedBy limited_by = LimitedBy::nothing;
  double reference_pa = 0;
  double error_pa = 0;
  double feedforward_frac = 0;
  double p_frac = 0;
  double i_frac = 0;
  double d_frac = 0;
  double unlimited_frac = 0;
  double gain_frac_per_pa = 0;
  double integral_time_s = 0;
};

/// One tick. Without drive it only tracks, so that the next start is bumpless.
[[nodiscard]] RegulatorOutput regulator_step(const RegulatorSpec& spec, RegulatorState& state,
                                             const RegulatorInput& in) noexcept;

}  // namespace leeward::control
