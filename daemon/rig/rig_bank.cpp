#include "daemon/rig/rig_bank.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <utility>

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using sim::Event;

struct EventRegister {
  int address;
  Event event;
  double size_per_count;  ///< 0: on or off, of the usual size
  bool of_each_fan;
};

constexpr double kM2PerCm2 = 1e-4;
constexpr double kM3SPerM3H = 1.0 / 3600;
constexpr std::array kEventRegisters{
    EventRegister{reg::kEvents, Event::door_open, kM2PerCm2, false},
    EventRegister{reg::kEvents + 1, Event::exhaust_fan, kM3SPerM3H, false},
    EventRegister{reg::kEvents + 2, Event::fan_blocked, 0.01, true},
    EventRegister{reg::kEvents + 3, Event::fan_stalled, 0, true},
    EventRegister{reg::kEvents + 4, Event::building_tube_off, 0, false},
    EventRegister{reg::kEvents + 5, Event::building_tube_kinked, 0.1, false},
    EventRegister{reg::kEvents + 6, Event::building_tubes_swapped, 0, false},
    EventRegister{reg::kEvents + 7, Event::building_gauge_stuck, 0, false},
    EventRegister{reg::kEvents + 8, Event::building_gauge_drift, 0.1, false},
    EventRegister{reg::kEvents + 9, Event::building_water_in_tube, 0.1, false},
    EventRegister{reg::kSignalEvents, Event::signal_tube_off, 0, true},
    EventRegister{reg::kSignalEvents + 1, Event::signal_gauge_stuck, 0, true}};

template <class Words>
double float_at(const Words& words, int address) {
  const auto at = static_cast<std::size_t>(address);
  return static_cast<double>(std::bit_cast<float>((std::uint32_t{words[at]} << 16U) | words[at + 1]));
}

bool within(int address, int first, int end) { return address >= first && address < end; }

/// The fan of a register that stands in a row of two a fan.
int fan_of(int address, int first) { return (address - first) / 2; }

}  // namespace

RigBank::RigBank(const sim::HouseSpec& house, std::uint64_t seed)
    : plant_(house, seed), fans_(plant_.fan_count()) {
  for (int fan = 0; fan < fans_; ++fan) {
    holding_[static_cast<std::size_t>(reg::covered_register(fan))] = plant_.covered(fan) ? 1 : 0;
    holding_[static_cast<std::size_t>(reg::fitted_register(fan))] =
        static_cast<std::uint16_t>(plant_.fitted(fan));
  }
  holding_[reg::kDirection] = plant_.direction() == control::Direction::pressurize ? 1 : 0;
  holding_[reg::kTimeoutMode] = static_cast<std::uint16_t>(TimeoutMode::works);
  show_readings();
}

TimeoutMode RigBank::timeout_mode() const { return static_cast<TimeoutMode>(holding_[reg::kTimeoutMode]); }

bool RigBank::has_holding(int address) const {
  if (within(address, reg::kTimeout, reg::kTimeout + 2 * fans_)) return timeout_mode() != TimeoutMode::absent;
  return within(address, reg::kDemand, reg::kDemand + 2 * fans_) ||
         within(address, reg::kCovered, reg::kOtherCrew + 2 * (fans_ - 1)) ||
         within(address, reg::kEvents, reg::kMisbehaviourMs + 1) || address == reg::kTimeoutMode ||
         within(address, reg::kSignalEvents, reg::kHoldingEnd);
}

std::optional<std::uint16_t> RigBank::get(RegisterTable table, int address) const {
  const auto at = static_cast<std::size_t>(address);
  if (table == RegisterTable::input && at < input_.size()) return input_[at];
  if (table == RegisterTable::coil && address < fans_) return enable_[at] ? 1 : 0;
  if (table == RegisterTable::holding && has_holding(address)) return holding_[at];
  return std::nullopt;
}

/// Judged with all words of the request in place, so that a float is seen whole.
bool RigBank::acceptable(const Holding& holding, int address) const {
  const std::uint16_t word = holding[static_cast<std::size_t>(address)];
  if (address < reg::kFirstOfCrew) {
    const double value = float_at(holding, address & ~1);
    return std::isfinite(value) && value >= 0;
  }
  for (int fan = 0; fan < fans_; ++fan) {
    const auto& fitted = plant_.house().fans[static_cast<std::size_t>(fan)].fan.restrictions;
    if (address == reg::covered_register(fan)) return word <= 1;
    if (address == reg::fitted_register(fan)) return word < std::max<std::size_t>(fitted.size(), 1);
  }
  if (address == reg::kDirection) return word <= 1;
  if (address == reg::kMisbehaviourKind) return word < static_cast<std::uint16_t>(Misbehaviour::count);
  if (address == reg::kTimeoutMode) return word <= static_cast<std::uint16_t>(TimeoutMode::absent);
  return true;
}

ModbusException RigBank::set(RegisterTable table, int address, std::span<const std::uint16_t> words) {
  const int end = address + static_cast<int>(words.size());
  if (table == RegisterTable::coil) {
    if (end > fans_) return ModbusException::illegal_address;
    for (int fan = address; fan < end; ++fan) {
      enable_[static_cast<std::size_t>(fan)] = words[static_cast<std::size_t>(fan - address)] != 0;
      command_fan(fan);
    }
    return ModbusException::none;
  }
  if (table != RegisterTable::holding) return ModbusException::illegal_address;
  Holding next = holding_;
  for (int at = address; at < end; ++at) {
    if (!has_holding(at)) return ModbusException::illegal_address;
    next[static_cast<std::size_t>(at)] = words[static_cast<std::size_t>(at - address)];
  }
  for (int at = address; at < end; ++at)
    if (!acceptable(next, at)) return ModbusException::illegal_value;
  holding_ = next;
  take_effect(address, end);
  return ModbusException::none;
}

void RigBank::take_effect(int first, int end) {
  for (int at = first; at < end; ++at) {
    const std::uint16_t word = holding_[static_cast<std::size_t>(at)];
    // A float takes effect once, with its second word.
    const bool whole = (at & 1) == 1 || at == end - 1;
    if (whole && within(at, reg::kDemand, reg::kDemand + 2 * fans_)) command_fan(fan_of(at, reg::kDemand));
    if (whole && within(at, reg::kTimeout, reg::kTimeout + 2 * fans_))
      timeouts_[static_cast<std::size_t>(fan_of(at, reg::kTimeout))].set_limit(float_at(holding_, at & ~1));
    for (int fan = 0; fan < fans_; ++fan) {
      if (at == reg::covered_register(fan)) plant_.set_covered(word != 0, fan);
      if (at == reg::fitted_register(fan)) plant_.set_fitted(word, fan);
    }
    if (at == reg::kDirection)
      plant_.set_direction(word != 0 ? control::Direction::pressurize : control::Direction::depressurize);
    set_event(at);
  }
}

void RigBank::set_event(int address) {
  const auto* found = std::ranges::find(kEventRegisters, address, &EventRegister::address);
  if (found == kEventRegisters.end()) return;
  const auto count = static_cast<std::int16_t>(holding_[static_cast<std::size_t>(address)]);
  const double size = count * found->size_per_count;
  for (int fan = 0; fan < (found->of_each_fan ? fans_ : 1); ++fan)
    plant_.set_event(found->event, count != 0, size, fan);
}

void RigBank::command_fan(int fan) {
  const auto i = static_cast<std::size_t>(fan);
  timeouts_[i].commanded(now_, enable_[i]);
  obey();
}

void RigBank::set_now(SteadyTime now) {
  now_ = now;
  for (DriveTimeout& timeout : timeouts_) timeout.look(now, timeout_mode());
  obey();
}

void RigBank::obey() {
  for (int fan = 0; fan < fans_; ++fan) {
    const auto i = static_cast<std::size_t>(fan);
    const bool runs = enable_[i] && !timeouts_[i].tripped();
    const double demand = runs ? std::min(float_at(holding_, reg::kDemand + 2 * fan), 1.0) : 0.0;
    plant_.set_command(demand, runs, fan);
    const int at = reg::kObeyed + 4 * fan;
    put_float(at, demand);
    input_[static_cast<std::size_t>(at) + 2] = runs ? 1 : 0;
    input_[static_cast<std::size_t>(at) + 3] = timeouts_[i].tripped() ? 1 : 0;
    const bool turns = demand > 0;
    if (turns != std::exchange(turns_[i], turns) && listener_) listener_(fan, turns, timeouts_[i].tripped());
  }
}

void RigBank::next_sample() {
  plant_.step(1.0 / reg::kSampleHz);
  std::uint16_t& left = holding_[reg::kMisbehaviourSamples];
  const bool stands = misbehaviour() == Misbehaviour::counter_stands;
  if (!stands) {
    ++samples_;
    show_readings();
  }
  if (left > 0) --left;
}

void RigBank::put_float(int address, double value) {
  const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(value));
  input_[static_cast<std::size_t>(address)] = static_cast<std::uint16_t>(bits >> 16U);
  input_[static_cast<std::size_t>(address) + 1] = static_cast<std::uint16_t>(bits & 0xFFFFU);
}

void RigBank::show_readings() {
  const sim::Measurement read = plant_.measure();
  const bool spoilt = misbehaviour() == Misbehaviour::not_a_number;
  const auto show = [&](int address, double value) {
    put_float(address, spoilt ? std::numeric_limits<double>::quiet_NaN() : value);
  };
  show(reg::kBuildingPressure, read.building_pressure_pa);
  show(reg::kIndoorC, read.indoor_c);
  show(reg::kOutdoorC, read.outdoor_c);
  for (int fan = 0; fan < fans_; ++fan) {
    const auto& of_fan = read.fans[static_cast<std::size_t>(fan)];
    const int signal = fan == 0 ? reg::kFan1Signal : reg::kOtherFans + 4 * (fan - 1);
    show(signal, of_fan.signal_pa);
    show(signal + 2, of_fan.speed_frac);
  }
  input_[reg::kSampleCounter] = static_cast<std::uint16_t>(samples_ >> 16U);
  input_[reg::kSampleCounter + 1] = static_cast<std::uint16_t>(samples_ & 0xFFFFU);
  const sim::Truth truth = plant_.truth();
  put_float(reg::kTruePressure, truth.building_pressure_pa);
  put_float(reg::kTrueFlow, truth.flow_m3_s);
  put_float(reg::kTrueTime, truth.time_s);
}

Misbehaviour RigBank::misbehaviour() const {
  if (holding_[reg::kMisbehaviourSamples] == 0) return Misbehaviour::none;
  return static_cast<Misbehaviour>(holding_[reg::kMisbehaviourKind]);
}

std::chrono::milliseconds RigBank::misbehaviour_pause() const {
  return std::chrono::milliseconds(holding_[reg::kMisbehaviourMs]);
}

}  // namespace leeward::daemon
