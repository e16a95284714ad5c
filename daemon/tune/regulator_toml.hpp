#pragma once
/// The regulator's settings as the table of a rig file, and a rig file with another such table.

#include <string>

#include "control/engine_config.hpp"

namespace leeward::daemon {

/// `[regulator]` with every key, its unit and its meaning. Numbers read back as the same numbers.
[[nodiscard]] std::string regulator_table(const control::RegulatorSpec& regulator);

/// The rig file with this table in place of its own.
/// @param from_file, to_file  where the text was read and where it will stand: paths in it are relative to
///                            the file, and are made to lead to the same places from there
[[nodiscard]] std::string rig_with_regulator(const std::string& rig_text,
                                             const control::RegulatorSpec& regulator,
                                             const std::string& from_file, const std::string& to_file);

}  // namespace leeward::daemon
