#include "daemon/devices/modbus_session.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/devices/register_codec.hpp"

namespace leeward::daemon {
namespace {

using control::DeviceStatus;
using control::Quality;
using control::Reading;
using std::chrono::steady_clock;

/// Longer than a request may take: a handshake over a poor radio link is slow, and it holds up nothing
/// but this worker.
constexpr std::chrono::milliseconds kConnectLimit{250};

Reading* reading_of(control::Sample& sample, const ChannelRead& channel) {
  switch (channel.role) {
    case ChannelRole::building_pressure:
      return &sample.building_pressure_pa;
    case ChannelRole::indoor_c:
      return &sample.indoor_c;
    case ChannelRole::outdoor_c:
      return &sample.outdoor_c;
    case ChannelRole::fan_signal:
      return &sample.fans[channel.fan].signal_pa;
    case ChannelRole::fan_speed:
      return &sample.fans[channel.fan].speed_frac;
    case ChannelRole::sample_counter:
      break;
  }
  return nullptr;
}

void decode_block(const ReadBlock& block, std::span<const std::uint16_t> words, Polled& polled) {
  for (const ChannelRead& channel : block.channels) {
    const auto own = words.subspan(channel.offset);
    if (channel.role == ChannelRole::sample_counter) polled.count = decode_count(channel.spec, own);
    Reading* reading = reading_of(polled.sample, channel);
    if (reading == nullptr) continue;
    const double value = decode_value(channel.spec, own);
    const bool finite = std::isfinite(value);
    *reading = {.value = finite ? value : 0, .quality = finite ? Quality::good : Quality::not_finite};
  }
}

void mark_refused(const ReadBlock& block, Polled& polled) {
  for (const ChannelRead& channel : block.channels)
    if (Reading* reading = reading_of(polled.sample, channel)) reading->quality = Quality::device_error;
}

DeviceStatus status_of(BusOutcome outcome) {
  switch (outcome) {
    case BusOutcome::ok:
      return DeviceStatus::ok;
    case BusOutcome::refused:
      return DeviceStatus::bad_answer;
    case BusOutcome::bad_answer:
      return DeviceStatus::bad_answer;
    case BusOutcome::no_answer:
      return DeviceStatus::no_answer;
    case BusOutcome::not_connected:
      break;
  }
  return DeviceStatus::not_connected;
}

constexpr control::Command kAllOff{};

}  // namespace

ModbusSession::ModbusSession(const ModbusSpec& spec, std::chrono::milliseconds timeout)
    : plan_(plan_registers(spec.channels)),
      fan_timeout_s_(spec.fan_timeout_s),
      bus_(spec.host, spec.port, spec.unit, timeout) {}

std::uint64_t ModbusSession::count_modulus() const {
  return plan_.counter ? daemon::count_modulus(plan_.counter->type) : 1;
}

bool ModbusSession::ensure_connected(SteadyTime now) {
  if (bus_.connected()) return true;
  return now >= retry_at_ && connect(now + kConnectLimit);
}

bool ModbusSession::connect(SteadyTime deadline) {
  if (!bus_.connect(deadline)) {
    ++health_.failed_connects;
    health_.last_error = bus_.last_error();
    retry_at_ = steady_clock::now() + back_off_.failed();
    return false;
  }
  ++health_.connections;
  health_.connected = true;
  (void)write(kAllOff);
  bool taken = true;
  for (const FanOutputs& outputs : plan_.outputs)
    taken = write_value(outputs.timeout, fan_timeout_s_) && taken;
  health_.timeout_refused = bus_.connected() && !taken;
  return bus_.connected();
}

Polled ModbusSession::read_all() {
  Polled polled = read_once(std::nullopt);
  const bool mend = !bus_.connected() && ensure_connected(steady_clock::now());
  return mend ? read_once(std::nullopt) : polled;
}

Polled ModbusSession::read_if_counted(std::optional<std::uint64_t> last) { return read_once(last); }

Polled ModbusSession::read_once(std::optional<std::uint64_t> last) {
  Polled polled;
  polled.sample.device = bus_.connected() ? DeviceStatus::ok : DeviceStatus::not_connected;
  for (std::size_t i = 0; i < plan_.blocks.size() && bus_.connected(); ++i) {
    const BusOutcome outcome = read_block(i, polled);
    if (outcome != BusOutcome::ok) polled.sample.device = status_of(outcome);
    if (i == 0 && last && polled.count == last) break;
  }
  return polled;
}

BusOutcome ModbusSession::read_block(std::size_t index, Polled& polled) {
  std::array<std::uint16_t, kMaxBlockRegisters + 2> words{};
  const ReadBlock block = plan_.blocks[index];
  const std::span used(words.data(), static_cast<std::size_t>(block.count));
  const BusOutcome outcome = bus_.read(block.table, block.address, used);
  note(outcome);
  if (outcome == BusOutcome::ok) {
    // Only a reading shows that a connection is of use: a device that takes writes but answers no
    // reads must not be connected to over and over without a pause.
    back_off_.worked();
    decode_block(block, used, polled);
  }
  if (outcome != BusOutcome::refused) return outcome;
  if (block.channels.size() > 1 && bus_.exception() == ModbusException::illegal_address) {
    split(index);
    return read_block(index, polled);
  }
  mark_refused(block, polled);
  return outcome;
}

/// A device may refuse to read across a gap in its map. From then on each channel is asked for alone.
void ModbusSession::split(std::size_t index) {
  auto parts = split_block(plan_.blocks[index]);
  std::stable_partition(parts.begin(), parts.end(), [](const ReadBlock& b) {
    return b.channels.front().role == ChannelRole::sample_counter;
  });
  const auto at = plan_.blocks.begin() + static_cast<std::ptrdiff_t>(index);
  plan_.blocks.insert(plan_.blocks.erase(at), parts.begin(), parts.end());
}

bool ModbusSession::write(const control::Command& command) {
  bool taken = bus_.connected();
  for (std::size_t i = 0; i < plan_.outputs.size(); ++i)
    taken = write_fan(plan_.outputs[i], command.fans[i]) && taken;
  return taken;
}

bool ModbusSession::write_fan(const FanOutputs& outputs, const control::FanCommand& command) {
  // Both are always tried: a refused demand is no reason to leave the drive enabled.
  if (command.drive == control::Drive::drive) {
    const bool enabled = write_value(outputs.enable, 1);
    return write_value(outputs.demand, command.demand_frac) && enabled;
  }
  const bool stopped = write_value(outputs.demand, 0);
  return write_value(outputs.enable, 0) && stopped;
}

bool ModbusSession::write_value(const std::optional<ChannelSpec>& channel, double value) {
  if (!channel) return true;
  const auto words = encode_value(*channel, value);
  if (!words || !bus_.connected()) return false;
  const BusOutcome outcome = bus_.write(channel->table, channel->address, words->view());
  note(outcome);
  return outcome == BusOutcome::ok;
}

bool ModbusSession::final_off(SteadyTime deadline) {
  if (!bus_.connected() && !connect(std::min(deadline, steady_clock::now() + kConnectLimit))) return false;
  bool taken = write(kAllOff);
  // A connection that was lost unseen deserves one more attempt: this is the last word to the fan.
  if (!bus_.connected() && steady_clock::now() < deadline && connect(deadline)) taken = write(kAllOff);
  bus_.close();
  health_.connected = false;
  return taken;
}

void ModbusSession::note(BusOutcome outcome) {
  if (outcome == BusOutcome::ok) return;
  health_.last_error = bus_.last_error();
  if (outcome == BusOutcome::refused) {
    ++health_.refusals;
    return;
  }
  if (outcome == BusOutcome::no_answer) ++health_.no_answers;
  if (outcome == BusOutcome::bad_answer) ++health_.bad_answers;
  if (outcome == BusOutcome::not_connected) ++health_.lost;
  health_.connected = false;
  retry_at_ = steady_clock::now() + back_off_.failed();
}

}  // namespace leeward::daemon
