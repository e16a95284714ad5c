#pragma once

#include <string>

#include "daemon/config/file_error.hpp"
#include "daemon/config/rig_spec.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// A rig file with the fan files and the house file that it names. All findings of all of them in one
/// go; warnings are settings that were changed or are doubtful, such as a bus time-out cut to 0.4 of
/// the sample period.
[[nodiscard]] Loaded<RigSpec> load_rig(const std::string& path);

/// The table [regulator] of a rig, or of another file that holds one; what is not there stays as it is.
void read_regulator(TableReader& file, control::RegulatorSpec& regulator);

}  // namespace leeward::daemon
