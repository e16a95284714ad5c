#pragma once
/// What a person reads on an instrument's plate and certificate: nothing is computed from it, the report
/// shows it, and what was found of a drive goes by the serial of its fan.

#include <string>

#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// serial = "any text"; calibrated = "YYYY-MM-DD", the day of the last calibration. Both optional.
/// @returns the serial
std::string read_identity(TableReader& table);

}  // namespace leeward::daemon
