#include "daemon/devices/modbus_device.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {

using control::DeviceStatus;
using control::Drive;
using control::Quality;
using control::Sample;
using std::chrono::steady_clock;

constexpr std::chrono::milliseconds kShutDownLimit{500};

std::chrono::nanoseconds period_of(double sample_hz) {
  return std::chrono::nanoseconds(static_cast<std::int64_t>(1e9 / sample_hz));
}

/// Never above 0.4 of the period, so that a second attempt fits into it.
std::chrono::milliseconds request_timeout(const ModbusSpec& spec, double sample_hz) {
  const int most = static_cast<int>(400 / sample_hz);
  return std::chrono::milliseconds(std::clamp(spec.timeout_ms, 1, std::max(most, 1)));
}

void stamp(control::Reading& reading, std::int64_t stamp_ns) {
  if (reading.quality != Quality::absent) reading.stamp_ns = stamp_ns;
}

std::int64_t unix_ms() {
  using namespace std::chrono;
  return duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
}

}  // namespace

ModbusDevice::ModbusDevice(const ModbusSpec& spec, double sample_hz)
    : session_(spec, request_timeout(spec, sample_hz)),
      counted_(session_.counted()),
      period_(period_of(sample_hz)),
      pacer_(steady_clock::now() + (counted_ ? period_ : Duration::zero()), period_),
      counter_clock_(session_.count_modulus()),
      start_(steady_clock::now()),
      tick_at_(start_),
      schedule_(period_),
      worker_([this] { work(); }) {}

ModbusDevice::~ModbusDevice() { shut_down(); }

Sample ModbusDevice::next_sample() {
  Lock lock(mutex_);
  return counted_ ? next_counted(lock) : next_paced(lock);
}

Sample ModbusDevice::next_paced(Lock& lock) {
  if (!awaiting_) {
    news_.wait_until(lock, pacer_.due(), [this] { return wake_; });
    if (wake_) return out_of_turn(steady_clock::now());
    tick_at_ = steady_clock::now();
    late_ = pacer_.begin(tick_at_);
    ++ticks_;
    polled_.reset();
    awaiting_ = true;
    work_.notify_one();
  }
  news_.wait_until(lock, tick_at_ + period_ * 6 / 10,
                   [this] { return wake_ || stop_ || ticks_served_ == ticks_; });
  if (wake_) return out_of_turn(steady_clock::now());
  awaiting_ = false;
  // An answer to an older tick that came since is not an answer to this one.
  Sample sample = ticks_served_ == ticks_ && polled_ ? polled_->sample : missing();
  sample.late_ticks = late_;
  return finish(sample, Duration(tick_at_ - start_).count(), tick_at_);
}

Sample ModbusDevice::next_counted(Lock& lock) {
  // The two clocks drift through each other: a count that is a little late is not a missing one.
  const SteadyTime limit = pacer_.due() + (grace_ ? period_ / 5 : Duration::zero());
  news_.wait_until(lock, limit, [this] { return wake_ || polled_; });
  const SteadyTime now = steady_clock::now();
  if (wake_) return out_of_turn(now);
  return polled_ ? take_count(now) : make_missing(now);
}

Sample ModbusDevice::take_count(SteadyTime now) {
  const auto advance = counter_clock_.on_count(*polled_->count);
  Sample sample = polled_->sample;
  polled_.reset();
  sample.skipped = advance.skipped;
  pacer_ = Pacer(now + period_, period_);
  grace_ = true;
  return finish(sample, first_ ? 0 : stamp_ns_ + advance.periods * period_.count(), now);
}

Sample ModbusDevice::make_missing(SteadyTime now) {
  Sample sample = missing();
  sample.late_ticks = pacer_.begin(now);
  grace_ = false;
  const std::int64_t periods = 1 + std::int64_t{sample.late_ticks};
  counter_clock_.on_missing(periods);
  return finish(sample, first_ ? 0 : stamp_ns_ + periods * period_.count(), now);
}

Sample ModbusDevice::missing() const {
  Sample sample;
  // A counted device may answer well and yet not count; a paced one that is silent has not answered.
  const bool hangs = !counted_ && last_status_ != DeviceStatus::not_connected;
  sample.device = hangs ? DeviceStatus::no_answer : last_status_;
  return sample;
}

/// Between the last regular sample and the next one, wherever that will be.
Sample ModbusDevice::out_of_turn(SteadyTime now) {
  wake_ = false;
  const SteadyTime last = awaiting_ ? start_ + Duration(stamp_ns_) : tick_at_;
  const Duration elapsed = (awaiting_ ? tick_at_ : now) - last;
  Sample sample;
  sample.out_of_turn = true;
  sample.device = last_status_;
  sample.wall_unix_ms = unix_ms();
  sample.stamp_ns = first_ ? 0 : stamp_ns_ + std::clamp(elapsed, Duration::zero(), period_ / 2).count();
  return sample;
}

Sample ModbusDevice::finish(Sample sample, std::int64_t stamp_ns, SteadyTime now) {
  first_ = false;
  tick_at_ = now;
  stamp_ns_ = std::max(stamp_ns, stamp_ns_);
  sample.stamp_ns = stamp_ns_;
  sample.wall_unix_ms = unix_ms();
  if (sample.device == DeviceStatus::ok && command_refused_) sample.device = DeviceStatus::bad_answer;
  stamp(sample.building_pressure_pa, stamp_ns_);
  stamp(sample.indoor_c, stamp_ns_);
  stamp(sample.outdoor_c, stamp_ns_);
  for (control::FanReadings& fan : sample.fans) {
    stamp(fan.signal_pa, stamp_ns_);
    stamp(fan.speed_frac, stamp_ns_);
  }
  return sample;
}

void ModbusDevice::write(const control::Command& command) {
  const std::lock_guard lock(mutex_);
  for (std::size_t i = 0; i < command.fans.size(); ++i)
    if (command.fans[i].drive != Drive::hold_last) command_.fans[i] = command.fans[i];
  ++commands_;
  work_.notify_one();
}

void ModbusDevice::wake() {
  const std::lock_guard lock(mutex_);
  wake_ = true;
  news_.notify_one();
}

bool ModbusDevice::shut_down() {
  {
    const std::lock_guard lock(mutex_);
    if (!stop_) stop_by_ = steady_clock::now() + kShutDownLimit;
    stop_ = true;
    work_.notify_one();
    news_.notify_one();
  }
  if (worker_.joinable()) worker_.join();
  const std::lock_guard lock(mutex_);
  return off_taken_;
}

DeviceHealth ModbusDevice::health() const {
  const std::lock_guard lock(mutex_);
  return health_;
}

}  // namespace leeward::daemon
