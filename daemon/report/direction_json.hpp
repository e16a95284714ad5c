#pragma once
/// What a result says about one direction: its stations, fits, densities and the width of its interval.

#include <nlohmann/json.hpp>

#include "control/analysis/run_result.hpp"
#include "control/engine_config.hpp"
#include "control/units.hpp"

namespace leeward::daemon {

[[nodiscard]] nlohmann::json stations_json(const control::DirectionResult& direction,
                                           const control::EngineConfig& engine);

/// C, n, the flows at the reference pressure and at 50 Pa, and r2 where a line was fitted to more points than
/// it needs.
[[nodiscard]] nlohmann::json fit_json(const control::FitResult& fit, double reference_pa,
                                      bool exponent_assumed);

/// The procedure's own fit, at reference air, with its leakage areas there.
[[nodiscard]] nlohmann::json standard_fit_json(const control::DirectionResult& direction,
                                               const control::ProcedureSpec& procedure);

/// All null where there is no estimate.
[[nodiscard]] nlohmann::json budget_json(bool known, const control::Budget& budget);

[[nodiscard]] nlohmann::json direction_json(const control::DirectionResult& direction,
                                            const control::ProcedureSpec& procedure);

/// Puts the flows at 4, 10, 50 and 75 Pa, and at the reference pressure under its name.
void put_flows(nlohmann::json& out, const control::Interval& q_ref_m3_s, const control::FlowsAt& flows,
               double reference_pa);

/// Puts the leakage areas of a curve whose air has this density.
void put_leakage_areas(nlohmann::json& out, const control::FlowsAt& flows, control::Density air);

}  // namespace leeward::daemon
