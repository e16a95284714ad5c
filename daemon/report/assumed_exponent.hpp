#pragma once
/// Where the exponent was assumed, n is no finding and r2 says nothing.

#include <algorithm>

#include "control/analysis/run_result.hpp"

namespace leeward::daemon {

/// Of our estimate: the procedure fixes it, or the stations did not give one.
[[nodiscard]] inline bool exponent_assumed(const control::DirectionResult& d,
                                           const control::ProcedureSpec& procedure) {
  return d.own.n.known && (!d.own.valid || procedure.fit == control::FitMethod::fixed_exponent);
}

/// In one direction at least.
[[nodiscard]] inline bool exponent_assumed(const control::RunResult& result,
                                           const control::ProcedureSpec& procedure) {
  return std::any_of(
      result.directions.begin(), result.directions.end(),
      [&procedure](const control::DirectionResult& d) { return exponent_assumed(d, procedure); });
}

}  // namespace leeward::daemon
