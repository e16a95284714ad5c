#pragma once
/// What an earlier experiment found of the drive, put over the settings before the engine is made, so that
/// every recording's configuration holds it.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "daemon/config/found_drive.hpp"
#include "daemon/config/rig_spec.hpp"

namespace leeward::daemon {

struct StoredDrive {
  std::string path;                     ///< where it is stored, or will be
  std::optional<FoundDrive> drive{};    ///< in use; none: the rig file's figures hold
  std::string text{};                   ///< for the log; empty where nothing is stored
  bool is_refused = false;              ///< something is stored, and cannot be used
  std::vector<std::string> warnings{};  ///< where it is far from what the rig file tells
};

/// Folder of what was found: beside the recordings in the state directory, within a folder that the rig file
/// names for them.
[[nodiscard]] std::filesystem::path drives_folder(const RigSpec& rig, const std::filesystem::path& runs);

/// Uses what is stored where the rig file has `learn_drive = true`. A file that is damaged, of another
/// version or of another rig is told of and left alone, and the rig file's figures hold. What is used is put
/// into the engine's settings and its text behind the rig file's, for the recordings.
[[nodiscard]] StoredDrive use_stored_drive(const std::filesystem::path& runs, RigSpec& rig);

}  // namespace leeward::daemon
