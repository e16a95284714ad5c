#pragma once
/// How things stand, as JSON: the answer of GET /v1/status and its parts.

#include <nlohmann/json_fwd.hpp>

#include "control/ask.hpp"
#include "control/engine_config.hpp"
#include "daemon/api/snapshot.hpp"

namespace leeward::daemon {

/// What is not known is null.
[[nodiscard]] nlohmann::json status_json(const Snapshot& snapshot, const control::EngineConfig& config);
[[nodiscard]] nlohmann::json ask_json(const control::Ask& ask, const control::RunSpec& run,
                                      const control::EngineConfig& config);
[[nodiscard]] nlohmann::json asks_json(const Snapshot& snapshot, const control::EngineConfig& config);
/// null when nothing is tripped
[[nodiscard]] nlohmann::json trip_json(const Snapshot& snapshot);
[[nodiscard]] nlohmann::json fan_json(const Snapshot& snapshot, const control::EngineConfig& config,
                                      std::size_t fan);
/// Building pressure and induced pressure, signed, null where not known.
[[nodiscard]] nlohmann::json building_pressure_json(const Snapshot& snapshot);
[[nodiscard]] nlohmann::json induced_pressure_json(const Snapshot& snapshot);
[[nodiscard]] nlohmann::json target_json(const Snapshot& snapshot);
/// Seconds: until the fan starts; of the present reading; of the run. null where there is none.
[[nodiscard]] nlohmann::json countdown_json(const Snapshot& snapshot);
[[nodiscard]] nlohmann::json phase_left_json(const Snapshot& snapshot);
[[nodiscard]] nlohmann::json run_left_json(const Snapshot& snapshot);
/// The sign of life that the run asks for: its interval, what is left of it (null while the fan stands) and
/// how it is. null where none is asked for.
[[nodiscard]] nlohmann::json presence_json(const Snapshot& snapshot);
/// What is happening, in a sentence.
[[nodiscard]] std::string sentence_of(const Snapshot& snapshot);
/// C, n and q50 as learnt so far, each {"value", "low", "high"} or null.
[[nodiscard]] nlohmann::json estimates_json(const Snapshot& snapshot);
/// UTC, as 2025-03-01T12:30:00Z
[[nodiscard]] std::string utc_text(std::int64_t unix_ms);

}  // namespace leeward::daemon
