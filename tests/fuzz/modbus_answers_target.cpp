// A device that answers anything at all: what comes out are samples whose good readings are numbers.
#include <chrono>
#include <cmath>

#include "daemon/devices/modbus_session.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/scripted_peer.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

using daemon::RegisterTable;
using daemon::RegisterType;

daemon::ChannelSpec channel(const char* name, RegisterTable table, int address, RegisterType type,
                            double scale) {
  return {name, table, address, type, daemon::WordOrder::big, scale, 0};
}

/// Bits, words and floats, in one block and in several.
std::vector<daemon::ChannelSpec> channels(std::uint8_t variation) {
  std::vector<daemon::ChannelSpec> out{
      channel("building_pressure", RegisterTable::input, 0, RegisterType::float32, 1),
      channel("fan1_signal", RegisterTable::input, 2, RegisterType::int16, 0.1),
      channel("indoor_c", RegisterTable::input, 40, RegisterType::int32, 0.001),
      channel("fan1_speed", RegisterTable::holding, 7, RegisterType::uint16, 1e-4),
      channel("fan1_demand", RegisterTable::holding, 0, RegisterType::float32, 1),
      channel("fan1_enable", RegisterTable::coil, 0, RegisterType::bit, 1)};
  if ((variation & 1U) != 0)
    out.push_back(channel("sample_counter", RegisterTable::input, 60, RegisterType::uint16, 1));
  if ((variation & 2U) != 0)
    out.push_back(channel("fan1_timeout", RegisterTable::holding, 20, RegisterType::uint16, 0.001));
  if ((variation & 4U) != 0)
    out.push_back(channel("outdoor_c", RegisterTable::discrete, 3, RegisterType::bit, 10));
  return out;
}

void judge(const control::Reading& r) {
  require(std::isfinite(r.value), "a reading is a number");
  require(r.quality == control::Quality::good || r.value == 0, "a reading that is not good says nothing");
}

void judge(const daemon::Polled& polled) {
  judge(polled.sample.building_pressure_pa);
  judge(polled.sample.indoor_c);
  judge(polled.sample.outdoor_c);
  for (const control::FanReadings& fan : polled.sample.fans) {
    judge(fan.signal_pa);
    judge(fan.speed_frac);
  }
}

void talk(daemon::ModbusSession& session) {
  if (!session.ensure_connected(std::chrono::steady_clock::now())) return;
  judge(session.read_all());
  control::Command command;
  command.fans[0] = {control::Drive::drive, 0.4};
  (void)session.write(command);
  judge(session.read_if_counted(7));
  command.fans[0] = {};
  (void)session.write(command);
  judge(session.read_all());
}

}  // namespace

void modbus_answers(Bytes bytes) {
  static ScriptedPeer peer;
  ByteReader reader(bytes);
  daemon::ModbusSpec spec;
  spec.port = peer.port();
  spec.channels = channels(reader.byte());
  peer.begin(reader.rest());
  {
    // Long enough for a busy machine: the peer never lets it run out.
    daemon::ModbusSession session(spec, std::chrono::milliseconds(500));
    talk(session);
  }
  peer.end();
}

}  // namespace leeward::fuzz
