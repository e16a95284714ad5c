#pragma once
/// What an earlier experiment found of the drive, put over the settings before the engine is made, so that
/// every recording's configuration holds it.

#include <filesystem>
#include <optional>
#include <string>

#include "control/engine_config.hpp"
#include "daemon/config/found_drive.hpp"

namespace leeward::daemon {

struct StoredDrive {
  std::string path;                   ///< where it is stored, or will be
  std::optional<FoundDrive> drive{};  ///< none: nothing is stored, or the file is damaged
  std::string text{};                 ///< for the log; empty where nothing is stored
};

/// `drives` beside the folder of the recordings. A damaged file, or one of another rig, is told of and left
/// alone.
[[nodiscard]] StoredDrive use_stored_drive(const std::filesystem::path& runs, control::EngineConfig& engine);

}  // namespace leeward::daemon
