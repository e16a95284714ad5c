#pragma once
/// When a staged fault demands that the fan stops: what is to be seen of it, and for how long. Judged by what
/// is read and by the simulated truth, not by the engine's own judgement.

#include <array>

#include "control/phase.hpp"
#include "control/sample.hpp"
#include "sim/campaign/fault_kind.hpp"

namespace leeward::sim {

/// What there is to see in one tick.
struct FaultSight {
  control::Sample sample;  ///< as the engine got it
  control::Sample before;  ///< the one before
  double read_induced_pa = 0;
  double true_induced_pa = 0;
  double zero_flow_sd_pa = 0;
  double demand_frac = 0;  ///< the fan was told before this tick
  double speed_frac = 0;   ///< the wheel turns so fast
  double surely_frac = 0;  ///< ... and would even with the slowest drive that is met
  double ceiling_pa = 0;
  double range_pa = 0;  ///< of the gauge
};

struct FaultRule {
  bool (*seen)(const FaultSight&) = nullptr;  ///< nullptr: demands no stop
  double wait_s = 0;                          ///< seen for so long it is observable
  /// What the trip may rightly be called; `none` fills up.
  std::array<control::TripCause, 3> named{};
};

[[nodiscard]] const FaultRule& fault_rule(FaultKind kind);

/// Holds for every kind: a gauge that reads beyond the ceiling for more than a second.
[[nodiscard]] const FaultRule& over_pressure_rule();

[[nodiscard]] bool is_named(FaultKind kind, control::TripCause cause);

}  // namespace leeward::sim
