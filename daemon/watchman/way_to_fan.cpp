#include "daemon/watchman/way_to_fan.hpp"

#include "daemon/devices/modbus_session.hpp"

namespace leeward::daemon {
namespace {

/// Of one request. Nothing else waits here, so it is longer than a tick would allow.
constexpr std::chrono::milliseconds kAnswerLimit{150};

class ModbusWay final : public WayToFan {
 public:
  explicit ModbusWay(const ModbusSpec& spec) : session_(spec, kAnswerLimit) {}
  bool stop(SteadyTime deadline) override { return session_.final_off(deadline); }

 private:
  ModbusSession session_;
};

}  // namespace

std::unique_ptr<WayToFan> make_way(const RigSpec& rig) {
  if (rig.device != DeviceKind::modbus_tcp) return nullptr;
  ModbusSpec spec = rig.modbus;
  spec.host = numeric_host(spec.host, spec.port);
  return std::make_unique<ModbusWay>(spec);
}

}  // namespace leeward::daemon
