#pragma once
/// Whole tests in which one fault happens at a random moment of a random phase.

#include "sim/campaign/fault_kind.hpp"
#include "sim/campaign/test_scenario.hpp"
#include "sim/population_spec.hpp"

namespace leeward::sim {

struct FaultScenario {
  TestScenario test;
  Range wind_m_s{0, 9};  ///< even between
  FaultKinds kinds;
  template <class V>
  static void describe(V&& v) {
    v("test", &FaultScenario::test);
    v("wind_m_s", &FaultScenario::wind_m_s);
    v("kinds", &FaultScenario::kinds);
  }
};

struct FaultRun {
  double wind_m_s = 0;
  bool happened = false;
  control::Phase phase = control::Phase::idle;  ///< in which it began
  double at_s = 0;
  double size = 0;
  TestEnd end = TestEnd::unfinished;
  control::TripCause cause = control::TripCause::none;
  bool named = false;       ///< tripped, and by a name that fits
  bool demanded = false;    ///< it was to be seen that the fan has to stop
  double to_safe_s = 0;     ///< from then until the command was off
  double beyond_s = 0;      ///< see FaultJudge
  bool false_trip = false;  ///< without a fault, and not for a true pressure beyond the ceiling
  double q50_error_frac = 0;
  double q50_half_frac = 0;
  /// Stated as valid, without a finding, and off by more than twice its interval.
  bool wrong_as_valid = false;
};

/// The longest that a fan may go on after it was to be seen that it has to stop, s.
inline constexpr double kMostToSafe = 1.0;

/// The house in a wind drawn from the seed; the same for every kind.
[[nodiscard]] FaultRun run_fault(const HouseSpec& house, const Tool& tool, const FaultScenario& scenario,
                                 FaultKind kind, std::uint64_t seed);

}  // namespace leeward::sim
