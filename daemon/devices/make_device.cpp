#include "daemon/devices/make_device.hpp"

#include "daemon/devices/modbus_device.hpp"
#include "daemon/devices/simulated_device.hpp"

namespace leeward::daemon {

std::unique_ptr<Device> make_device(const RigSpec& rig) {
  if (rig.device == DeviceKind::modbus_tcp)
    return std::make_unique<ModbusDevice>(rig.modbus, rig.engine.sample_hz);
  return std::make_unique<SimulatedDevice>(rig.simulated, rig.engine.sample_hz);
}

}  // namespace leeward::daemon
