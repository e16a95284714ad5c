#pragma once
/// The staircase that is still to come, laid out over the time that is left.

#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace leeward::daemon {

struct PlannedStep {
  double from_s = 0;
  double to_s = 0;
  double target_pa = 0;  ///< signed: indoor minus outdoor; 0 where the fan is off
};

/// @param status     GET /v1/status; @param procedure  GET /v1/procedures/{id}
/// @param now_s      engine time at which the first one begins
/// @returns what is to come, stretched over the daemon's own figure of the time left; empty without a run
[[nodiscard]] std::vector<PlannedStep> steps_to_come(const nlohmann::json& status,
                                                     const nlohmann::json& procedure, double now_s);

}  // namespace leeward::daemon
