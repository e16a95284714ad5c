#pragma once
/// Whole tests: from "connected" to the result, judged by the simulated truth.

#include <cstdint>

#include "control/engine_state.hpp"
#include "control/procedure/procedure_spec.hpp"
#include "control/request.hpp"
#include "sim/campaign/step_scenario.hpp"

namespace leeward::sim {

struct TestScenario {
  control::ProcedureSpec procedure;
  control::DirectionChoice direction = control::DirectionChoice::depressurize;
  double fit_takes_s = 30;  ///< the crew's hands at a change of restriction; all else is answered at once
  double most_s = 7200;
  bool operator==(const TestScenario&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("procedure", &TestScenario::procedure);
    v("direction", &TestScenario::direction);
    v("fit_takes_s", &TestScenario::fit_takes_s);
    v("most_s", &TestScenario::most_s);
  }
};

enum class TestEnd : std::uint8_t { valid, invalid, refused, tripped, unfinished };

struct TestRun {
  TestEnd end = TestEnd::unfinished;
  double minutes = 0;
  double q50_error_frac = 0;
  double q50_half_frac = 0;  ///< half-width of the stated 95 % interval over the value
  bool q50_held = false;     ///< the interval contains the truth
  double n_error = 0;
  double n_half = 0;
  bool n_held = false;
  /// The restriction fitted when the first station was done serves all of them; NaN where none does, or no
  /// station was done.
  double choice_right = 0;
  int changes = 0;            ///< of the restriction
  double excess_changes = 0;  ///< after the first station, beyond the fewest; NaN where there is no telling
};

/// What starts the test of a house that is told as `told` says.
[[nodiscard]] control::Request run_request(const HouseSpec& house, const TestScenario& scenario,
                                           const Told& told);
[[nodiscard]] TestEnd end_of(const control::EngineState& state);

[[nodiscard]] TestRun run_test(const HouseSpec& house, const Tool& tool, const TestScenario& scenario,
                               std::uint64_t seed);

}  // namespace leeward::sim
