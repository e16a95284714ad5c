#pragma once

#include <string>

#include "daemon/config/file_error.hpp"
#include "daemon/config/rig_spec.hpp"

namespace leeward::daemon {

/// A rig file with the fan files and the house file that it names. All findings of all of them in one
/// go; warnings are settings that were changed or are doubtful, such as a bus time-out cut to 0.4 of
/// the sample period.
[[nodiscard]] Loaded<RigSpec> load_rig(const std::string& path);

}  // namespace leeward::daemon
