#pragma once

#include "daemon/config/rig_spec.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// The tables [device] and [simulated] of a rig file.
/// @param rig  its fans, sample rate and silence stop are read already
void read_device(TableReader& file, RigSpec& rig);

}  // namespace leeward::daemon
