#pragma once
/// What a recording says about itself.

#include <cstddef>
#include <cstdint>
#include <string>

#include "control/engine_config.hpp"

namespace leeward::daemon {

struct RecordingMeta {
  std::string run_id;
  std::string software_version;
  std::string procedure;             ///< id
  std::string building;              ///< name
  std::int64_t started_unix_ms = 0;  ///< calendar time, for people only
  std::string rig_text;              ///< the rig file as read
  control::EngineConfig engine;
};

}  // namespace leeward::daemon
