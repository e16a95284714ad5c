#pragma once
/// The device that a rig file asks for.

#include <memory>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/device.hpp"

namespace leeward::daemon {

/// Never waits for the wire: a Modbus rig that is not there yet is connected to when it comes.
[[nodiscard]] std::unique_ptr<Device> make_device(const RigSpec& rig);

}  // namespace leeward::daemon
