#pragma once
/// Results and samples of a run, from memory while it is in hand, from its recording afterwards.

#include <filesystem>
#include <string>

#include <nlohmann/json.hpp>

#include "control/engine_config.hpp"
#include "control/result.hpp"
#include "daemon/api/snapshot.hpp"

namespace leeward::daemon {

[[nodiscard]] nlohmann::json result_of(const Snapshot& snapshot, const control::EngineConfig& config);

/// Errors   io when the recording cannot be read
[[nodiscard]] control::Result<nlohmann::json> result_of_recording(const std::filesystem::path& path);
[[nodiscard]] control::Result<std::string> samples_of_recording(const std::filesystem::path& path);

}  // namespace leeward::daemon
