#pragma once
/// Where what was found of a drive is far from what the rig file tells.

#include <string>
#include <vector>

#include "control/engine_config.hpp"
#include "control/estimate/drive_found.hpp"

namespace leeward::daemon {

/// One sentence for each figure that differs by more than a factor of two and lies outside the 95 % interval
/// of what was found. That is a wrong figure in the file, or an experiment that something disturbed.
[[nodiscard]] std::vector<std::string> drive_contrasts(const control::RegulatorSpec& told,
                                                       const control::DriveFound& found);

}  // namespace leeward::daemon
