#pragma once

#include <string>

#include "daemon/config/file_error.hpp"
#include "sim/house_spec.hpp"

namespace leeward::daemon {

/// A house of the simulator: [house] with its leaks, [wind], [sensor.building], [sensor.signal] and one
/// [[fan]] for each fan in its openings. Without a leak or a fan those of the demo house stand in.
[[nodiscard]] Loaded<sim::HouseSpec> load_house(const std::string& path);

}  // namespace leeward::daemon
