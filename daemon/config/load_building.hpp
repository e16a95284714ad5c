#pragma once

#include <string>
#include <utility>
#include <vector>

#include "control/procedure/building_spec.hpp"
#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

struct BuildingFile {
  control::BuildingSpec building;
  control::ConditionsSpec conditions;
  /// The numbers that the file really names, in the order of the key rules: what a client posts on.
  std::vector<std::pair<std::string, double>> given_building;
  std::vector<std::pair<std::string, double>> given_conditions;
};

/// A building file: tables [building] and [conditions].
[[nodiscard]] Loaded<BuildingFile> load_building(const std::string& path);

}  // namespace leeward::daemon
