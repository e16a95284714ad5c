#pragma once
/// What `leeward run` asks the daemon for, from the command line and the building file.

#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/config/load_building.hpp"

namespace leeward::daemon {

struct RunBody {
  nlohmann::json json;
  std::vector<std::string> warnings;  ///< what is assumed
};

/// Conditions of the command line win over those of the file.
/// Errors   usage where an air temperature is in neither: a result would rest on a made-up one
[[nodiscard]] Attempt<RunBody> run_body(const RunCommand& command, const Loaded<BuildingFile>& file);

}  // namespace leeward::daemon
