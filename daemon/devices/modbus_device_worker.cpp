/// The worker's half of ModbusDevice: the only thread that touches the bus.

#include "daemon/devices/modbus_device.hpp"

#include <sys/prctl.h>

namespace leeward::daemon {
namespace {

using std::chrono::steady_clock;

constexpr std::chrono::hours kLong{1};

}  // namespace

void ModbusDevice::work() {
  // A rig at a hundred times real time counts every millisecond: the usual slack of 50 us is too much.
  (void)::prctl(PR_SET_TIMERSLACK, 1000UL, 0, 0, 0);
  Lock lock(mutex_);
  while (!stop_) {
    work_.wait_until(lock, next_look(steady_clock::now()),
                     [this] { return stop_ || has_work(steady_clock::now()); });
    if (!stop_) serve(lock);
  }
  lock.unlock();
  const bool taken = session_.final_off(stop_by_);
  lock.lock();
  off_taken_ = taken;
  health_ = session_.health();
}

bool ModbusDevice::has_work(SteadyTime now) const {
  if (commands_ != commands_served_) return true;
  if (counted_) return now >= look_at_;
  return ticks_ != ticks_served_ || (!session_.connected() && now >= session_.retry_at());
}

SteadyTime ModbusDevice::next_look(SteadyTime now) const {
  if (counted_) return look_at_;
  return session_.connected() ? now + kLong : session_.retry_at();
}

void ModbusDevice::serve(Lock& lock) {
  // A command is the older of the two, and it may be a stop.
  if (commands_ != commands_served_) serve_command(lock);
  const SteadyTime now = steady_clock::now();
  if (stop_) return;
  if (counted_) {
    if (now >= look_at_) serve_count(lock);
    return;
  }
  if (!session_.connected() && now >= session_.retry_at()) serve_connecting(lock);
  if (!stop_ && ticks_ != ticks_served_) serve_reading(lock);
}

void ModbusDevice::serve_connecting(Lock& lock) {
  lock.unlock();
  (void)session_.ensure_connected(steady_clock::now());
  lock.lock();
  health_ = session_.health();
}

void ModbusDevice::serve_command(Lock& lock) {
  const control::Command command = command_;
  const std::uint64_t served = commands_;
  lock.unlock();
  const bool taken = session_.write(command);
  lock.lock();
  // One that was lost is not kept: the next tick brings a newer one.
  commands_served_ = served;
  command_refused_ = !taken && session_.connected();
  health_ = session_.health();
}

void ModbusDevice::serve_reading(Lock& lock) {
  const std::uint64_t tick = ticks_;
  lock.unlock();
  Polled polled = session_.read_all();
  lock.lock();
  ticks_served_ = tick;
  last_status_ = polled.sample.device;
  polled_ = polled;
  health_ = session_.health();
  news_.notify_one();
}

void ModbusDevice::serve_count(Lock& lock) {
  lock.unlock();
  const bool connected = session_.ensure_connected(steady_clock::now());
  const Polled polled = connected ? session_.read_if_counted(last_count_) : Polled{};
  lock.lock();
  const SteadyTime now = steady_clock::now();
  last_status_ = polled.sample.device;
  health_ = session_.health();
  if (!polled.count || polled.count == last_count_) {
    look_at_ = session_.connected() ? schedule_.after_nothing(now) : session_.retry_at();
    return;
  }
  const std::uint64_t modulus = session_.count_modulus();
  look_at_ = schedule_.after_count(now, last_count_ ? (*polled.count + modulus - *last_count_) % modulus : 1);
  last_count_ = polled.count;
  polled_ = polled;
  news_.notify_one();
}

}  // namespace leeward::daemon
