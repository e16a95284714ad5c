#pragma once
/// What a result says about one direction: its stations, fits, densities and the width of its interval.

#include <nlohmann/json.hpp>

#include "control/analysis/run_result.hpp"
#include "control/engine_config.hpp"

namespace leeward::daemon {

[[nodiscard]] nlohmann::json stations_json(const control::DirectionResult& direction,
                                           const control::EngineConfig& engine);

/// C, n, the flows at the reference pressure and at 50 Pa, and r2 where a line was fitted to more points than
/// it needs.
[[nodiscard]] nlohmann::json fit_json(const control::FitResult& fit, double reference_pa,
                                      bool exponent_assumed);

/// The procedure's own fit, at reference air.
[[nodiscard]] nlohmann::json standard_fit_json(const control::DirectionResult& direction,
                                               const control::ProcedureSpec& procedure);

/// All null where there is no estimate.
[[nodiscard]] nlohmann::json budget_json(bool known, const control::Budget& budget);

[[nodiscard]] nlohmann::json direction_json(const control::DirectionResult& direction,
                                            const control::ProcedureSpec& procedure);

/// Puts the flow at the reference pressure under its name, and q50_m3_h where that is another pressure: then
/// from the curve, without an interval, since the curve's intervals of C and n do not give it.
void put_flows(nlohmann::json& out, const control::Interval& q_ref_m3_s, const control::Interval& c_m3_s_pan,
               const control::Interval& n, double reference_pa);

}  // namespace leeward::daemon
