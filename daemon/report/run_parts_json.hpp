#pragma once
/// What a result says about the run itself: building, conditions, baselines, verdicts.

#include <nlohmann/json.hpp>

#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"

namespace leeward::daemon {

[[nodiscard]] nlohmann::json building_json(const control::BuildingSpec& building);
[[nodiscard]] nlohmann::json conditions_json(const control::ConditionsSpec& conditions);
/// One object for each baseline that was taken.
[[nodiscard]] nlohmann::json baselines_json(const control::RunRecord& record);
/// One object for each verdict, with its clause, where its limit is known from, and the evidence in words.
/// What the run goes on from; null: a run from the start.
[[nodiscard]] nlohmann::json continuation_json(const control::RunRecord& record);
[[nodiscard]] nlohmann::json verdicts_json(const control::RunRecord& record,
                                           const control::RunResult& result);

}  // namespace leeward::daemon
