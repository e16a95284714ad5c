#include "sim/campaign/fault_stage.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leeward::sim {
namespace {

using control::DeviceStatus;
using control::Quality;
using control::Reading;

constexpr double kLagOfSlowDrive = 0.02;  // part of the way in a tick: 5 s
constexpr std::int64_t kTickOfStage = 100'000'000;

double either_way(Rng& rng, double size) { return rng.uniform() < 0.5 ? -size : size; }

/// In the sizes in which they are met; units as the events state them, or as the case below says.
double size_of(FaultKind kind, Rng& rng) {
  switch (kind) {
    case FaultKind::pressure_spikes:
    case FaultKind::signal_spikes:
      return either_way(rng, rng.log_uniform(20, 400));  // Pa
    case FaultKind::pressure_zero_drifts:
      return either_way(rng, rng.log_uniform(2, 30));  // Pa in 10 min
    case FaultKind::pressure_tube_kinked:
      return rng.log_uniform(2, 20);  // s
    case FaultKind::pressure_water_in_tube:
      return either_way(rng, rng.log_uniform(3, 30));  // Pa
    case FaultKind::fan_blocked:
      return rng.uniform(0.3, 0.98);
    case FaultKind::fan_too_strong:
      return rng.uniform(1.5, 3);  // times the demand
    case FaultKind::opening:
    case FaultKind::opening_shut:
      return rng.log_uniform(0.02, 2);  // m2
    case FaultKind::exhaust_fan:
      return rng.log_uniform(0.02, 0.2);  // m3/s
    case FaultKind::process_suspended:
      return rng.log_uniform(0.3, 20);  // s
    case FaultKind::wall_clock_stepped:
      return either_way(rng, 3600);  // s
    default:
      return 0;
  }
}

void no_reading(Reading& r, Quality quality) { r = {0, r.stamp_ns, quality}; }

void no_readings(control::Sample& sample, Quality quality) {
  no_reading(sample.building_pressure_pa, quality);
  no_reading(sample.indoor_c, quality);
  no_reading(sample.outdoor_c, quality);
  for (control::FanReadings& fan : sample.fans) no_reading(fan.signal_pa, quality);
}

}  // namespace

FaultStage::FaultStage(FaultKind kind, std::uint64_t seed) : kind_(kind), rng_(seed, 77) {
  size_ = size_of(kind, rng_);
  if (kind == FaultKind::opening_shut || kind == FaultKind::bus_back) lasts_s_ = rng_.uniform(1, 30);
}

void FaultStage::attach(ClosedLoop& loop) {
  loop.tamper = [this](control::Sample& sample) { tamper(sample); };
  loop.tamper_command = [this](const control::FanCommand& told) {
    const control::FanCommand taken = as_taken(told);
    if (!begun_ || kind_ != FaultKind::fan_ignores_stop || taken.demand_frac > 0) last_taken_ = taken;
    const double aim = told.drive == control::Drive::drive ? told.demand_frac : 0;
    lagged_frac_ = begun_ ? lagged_frac_ + kLagOfSlowDrive * (aim - lagged_frac_) : aim;
    return taken;
  };
}

void FaultStage::begin(ClosedLoop& loop) {
  begun_ = true;
  ticks_ = 0;
  begin_in_plant(loop);
}

void FaultStage::begin_in_plant(ClosedLoop& loop) const {
  Plant& plant = loop.plant();
  const auto switch_on = [&](Event event) { plant.set_event(event, true, size_); };
  switch (kind_) {
    case FaultKind::pressure_stuck:
      return switch_on(Event::building_gauge_stuck);
    case FaultKind::pressure_zero_drifts:
      return switch_on(Event::building_gauge_drift);
    case FaultKind::pressure_tube_off:
      return switch_on(Event::building_tube_off);
    case FaultKind::pressure_tube_kinked:
      return switch_on(Event::building_tube_kinked);
    case FaultKind::pressure_tubes_swapped:
      return switch_on(Event::building_tubes_swapped);
    case FaultKind::pressure_water_in_tube:
      return switch_on(Event::building_water_in_tube);
    case FaultKind::signal_stuck:
      return switch_on(Event::signal_gauge_stuck);
    case FaultKind::signal_tube_off:
      return switch_on(Event::signal_tube_off);
    case FaultKind::fan_stands:
      return switch_on(Event::fan_stalled);
    case FaultKind::fan_blocked:
      return switch_on(Event::fan_blocked);
    case FaultKind::opening:
    case FaultKind::opening_shut:
      return switch_on(Event::door_open);
    case FaultKind::exhaust_fan:
      return switch_on(Event::exhaust_fan);
    case FaultKind::fan_turned_round:
      return plant.set_direction(control::opposite(plant.direction()));
    case FaultKind::restriction_other:
      return plant.set_fitted(plant.fitted() > 0 ? plant.fitted() - 1 : plant.fitted() + 1);
    default:
      return;
  }
}

void FaultStage::before_tick(ClosedLoop& loop) {
  if (!begun_) return;
  const bool over = lasts_s_ > 0 && ticks_ * 0.1 >= lasts_s_;
  if (kind_ == FaultKind::opening_shut && over) loop.plant().set_event(Event::door_open, false);
  if (kind_ == FaultKind::process_suspended && ticks_ == 0) loop.sleep(size_);
  if (kind_ == FaultKind::ticks_missed) loop.sleep(0.1);
  if (kind_ == FaultKind::operator_stops && ticks_ == 0) {
    control::Request stop;
    stop.kind = control::RequestKind::stop;
    loop.request(stop);
  }
  ++ticks_;
}

void FaultStage::tamper(control::Sample& sample) {
  if (!begun_) {
    since_ns_ = sample.stamp_ns;
    return;
  }
  tamper_pressure(sample);
  tamper_signal(sample);
  tamper_bus(sample);
  tamper_time(sample);
}

void FaultStage::tamper_pressure(control::Sample& sample) {
  Reading& r = sample.building_pressure_pa;
  if (kind_ == FaultKind::pressure_silent) no_reading(r, Quality::absent);
  if (kind_ == FaultKind::pressure_not_a_number) r.value = std::numeric_limits<double>::quiet_NaN();
  if (kind_ == FaultKind::pressure_out_of_range) r.value = std::copysign(5000, r.value);
  if (kind_ == FaultKind::pressure_spikes && ticks_ % 20 == 1) r.value += size_;
}

void FaultStage::tamper_signal(control::Sample& sample) {
  Reading& r = sample.fans[0].signal_pa;
  if (kind_ == FaultKind::signal_silent) no_reading(r, Quality::absent);
  if (kind_ == FaultKind::signal_not_a_number) r.value = std::numeric_limits<double>::quiet_NaN();
  if (kind_ == FaultKind::signal_spikes && ticks_ % 20 == 1) r.value = std::max(0.0, r.value + size_);
}

void FaultStage::tamper_bus(control::Sample& sample) {
  if (kind_ == FaultKind::bus_one_miss && ticks_ == 1) {
    no_readings(sample, Quality::absent);
    sample.device = DeviceStatus::no_answer;
  }
  if (kind_ == FaultKind::bus_lost || (kind_ == FaultKind::bus_back && ticks_ * 0.1 < lasts_s_)) {
    no_readings(sample, Quality::absent);
    sample.device = ticks_ < 4 ? DeviceStatus::no_answer : DeviceStatus::not_connected;
  }
  if (kind_ == FaultKind::bus_bad_answer) {
    no_readings(sample, Quality::device_error);
    sample.device = DeviceStatus::bad_answer;
  }
  if (kind_ == FaultKind::drive_refuses) sample.device = DeviceStatus::bad_answer;
  if (kind_ != FaultKind::bus_late_answer) return;
  // Answers of old requests: each brings the stamp of the last one that came in time.
  sample.building_pressure_pa.stamp_ns = since_ns_;
  for (control::FanReadings& fan : sample.fans) fan.signal_pa.stamp_ns = since_ns_;
}

void FaultStage::tamper_time(control::Sample& sample) {
  if (kind_ == FaultKind::ticks_missed) sample.late_ticks = 1;
  if (kind_ == FaultKind::time_stands) sample.stamp_ns = since_ns_;
  if (kind_ == FaultKind::wall_clock_stepped) sample.wall_unix_ms += static_cast<std::int64_t>(size_ * 1000);
  if (kind_ == FaultKind::process_suspended && ticks_ == 1)
    sample.late_ticks = static_cast<std::int32_t>((sample.stamp_ns - since_ns_) / kTickOfStage - 1);
}

control::FanCommand FaultStage::as_taken(const control::FanCommand& told) const {
  if (!begun_) return told;
  control::FanCommand taken = told;
  const bool driven = told.drive == control::Drive::drive && told.demand_frac > 0;
  if (kind_ == FaultKind::fan_ignores_stop && !driven) return last_taken_;
  if (kind_ == FaultKind::drive_refuses) return last_taken_;
  if (kind_ == FaultKind::fan_too_strong) taken.demand_frac = std::min(1.0, size_ * told.demand_frac);
  if (kind_ == FaultKind::fan_lags && driven) taken.demand_frac = lagged_frac_;
  return taken;
}

}  // namespace leeward::sim
