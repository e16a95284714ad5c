#pragma once

#include <optional>
#include <string>

#include "control/physics/fan_spec.hpp"
#include "daemon/config/file_error.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// A fan file: restrictions with their calibration, largest first; fan curve; limits.
[[nodiscard]] Loaded<control::FanSpec> load_fan(const std::string& path);

/// The entry `[[fan]]` of a rig or house: reads `file` and `fitted`, and the file named there.
/// @returns nullopt when anything is wrong; the findings say what, also of that file
[[nodiscard]] std::optional<control::FanSpec> read_fan_entry(TableReader& entry, const std::string& in_file);

/// Index of the restriction of that name.
[[nodiscard]] std::optional<int> restriction_named(const control::FanSpec& fan, std::string_view name);

}  // namespace leeward::daemon
