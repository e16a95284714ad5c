#include "daemon/devices/simulated_device.hpp"

#include <chrono>

namespace leeward::daemon {
namespace {

using control::Drive;
using control::Quality;
using std::chrono::steady_clock;

/// Below this a wait is all jitter; such a speed runs unpaced.
constexpr double kShortestWait_s = 20e-6;

double wall_period_s(double speed, double sample_hz) { return speed > 0 ? 1.0 / (speed * sample_hz) : 0.0; }

std::int64_t unix_ms_now() {
  using namespace std::chrono;
  return duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
}

}  // namespace

SimulatedDevice::SimulatedDevice(const SimulatedSpec& spec, double sample_hz)
    : period_s_(1.0 / sample_hz),
      period_ns_(static_cast<std::int64_t>(1e9 / sample_hz)),
      paced_(wall_period_s(spec.speed, sample_hz) >= kShortestWait_s),
      counts_late_(spec.speed <= 1),
      plant_(spec.house, spec.seed),
      pacer_(
          steady_clock::now(),
          std::chrono::nanoseconds(static_cast<std::int64_t>(1e9 * wall_period_s(spec.speed, sample_hz)))) {}

control::Sample SimulatedDevice::next_sample() {
  std::unique_lock lock(mutex_);
  if (paced_) news_.wait_until(lock, pacer_.due(), [this] { return wake_; });
  if (wake_) {
    wake_ = false;
    control::Sample extra;
    extra.out_of_turn = true;
    extra.device = control::DeviceStatus::ok;
    extra.wall_unix_ms = unix_ms_now();
    extra.stamp_ns = ticks_ > 0 ? (ticks_ - 1) * period_ns_ + period_ns_ / 2 : 0;
    return extra;
  }
  const std::int32_t late = paced_ ? pacer_.begin(steady_clock::now()) : 0;
  if (ticks_ > 0) plant_.step(period_s_);
  control::Sample sample = read_plant();
  if (counts_late_) sample.late_ticks = late;
  ++ticks_;
  return sample;
}

control::Sample SimulatedDevice::read_plant() const {
  control::Sample sample;
  sample.stamp_ns = ticks_ * period_ns_;
  sample.wall_unix_ms = unix_ms_now();
  sample.device = control::DeviceStatus::ok;
  const auto good = [&](double value) {
    return control::Reading{.value = value, .stamp_ns = sample.stamp_ns, .quality = Quality::good};
  };
  const sim::Measurement read = plant_.measure();
  sample.building_pressure_pa = good(read.building_pressure_pa);
  sample.indoor_c = good(read.indoor_c);
  sample.outdoor_c = good(read.outdoor_c);
  for (int fan = 0; fan < plant_.fan_count(); ++fan) {
    const auto i = static_cast<std::size_t>(fan);
    sample.fans[i] = {.signal_pa = good(read.fans[i].signal_pa), .speed_frac = good(read.fans[i].speed_frac)};
  }
  return sample;
}

void SimulatedDevice::write(const control::Command& command) {
  const std::lock_guard lock(mutex_);
  for (int fan = 0; fan < plant_.fan_count(); ++fan) {
    const auto i = static_cast<std::size_t>(fan);
    if (command.fans[i].drive != Drive::hold_last) command_.fans[i] = command.fans[i];
    const bool on = command_.fans[i].drive == Drive::drive;
    plant_.set_command(on ? command_.fans[i].demand_frac : 0, on, fan);
  }
}

void SimulatedDevice::wake() {
  const std::lock_guard lock(mutex_);
  wake_ = true;
  news_.notify_one();
}

bool SimulatedDevice::shut_down() {
  write(control::Command{});
  return true;
}

void SimulatedDevice::crew_did(const control::Ask& ask) {
  const std::lock_guard lock(mutex_);
  switch (ask.kind) {
    case control::AskKind::cover_fan:
      plant_.set_covered(true, ask.fan);
      break;
    case control::AskKind::uncover_fan:
      plant_.set_covered(false, ask.fan);
      break;
    case control::AskKind::fit_restriction:
      plant_.set_fitted(ask.restriction, ask.fan);
      break;
    case control::AskKind::turn_fan:
      plant_.set_direction(ask.direction);
      break;
    case control::AskKind::checklist:
    case control::AskKind::look_round:
      break;
  }
}

}  // namespace leeward::daemon
