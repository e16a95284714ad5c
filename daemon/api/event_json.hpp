#pragma once
/// What a tick says to the readers of the event stream.

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "control/engine_config.hpp"
#include "daemon/api/snapshot.hpp"

namespace leeward::daemon {

/// `name` is sample, phase, run, ask, station, baseline, verdict, trip, result or note.
struct StreamMessage {
  std::string name;
  nlohmann::json data;
};

/// The events of a tick in their order, then its sample (unless it was an extra tick without readings).
/// @param events  those of the snapshot, as far as they are to be told
/// @param before  the snapshot of the tick before, where there is one: holds the asks as they stood
[[nodiscard]] std::vector<StreamMessage> messages_of(const Snapshot& snapshot, const control::Events& events,
                                                     const Snapshot* before,
                                                     const control::EngineConfig& config);

}  // namespace leeward::daemon
