#include "sim/plant.hpp"

#include <algorithm>
#include <cmath>

#include "sim/house_range.hpp"
#include "sim/relax.hpp"

namespace leeward::sim {

namespace {

constexpr double kMostStep = 0.1;
constexpr double kMostPressure = 3000;

double fraction(double value) { return std::isfinite(value) ? std::clamp(value, 0.0, 1.0) : 0; }

}  // namespace

Plant::Plant(const HouseSpec& house, std::uint64_t seed)
    : house_(cut_to_range(house)),
      air_(air_of(house_)),
      zone_(house_, air_),
      wind_(house_.wind, seed),
      // One more pascal packs so much air into the zone, the give of its envelope included.
      kg_pa_(air_.indoor_kg_m3 * house_.volume_m3 /
             (house_.polytropic_index * barometric_pressure_pa(house_)) * (1 + house_.flexibility)),
      building_gauge_(house_.sensors.building, seed, 2) {
  for (std::size_t i = 0; i < fans(); ++i) {
    Fan& fan = fans_[i];
    fan.duty = FanDuty(house_.fans[i], air_);
    fan.drive = Drive(house_.fans[i].drive);
    fan.gauge = Gauge(house_.sensors.signal, seed, 3 + i);
    fan.fitted = house_.fans[i].fan.fitted;
    set_fan(fan);
  }
  find_rest();
  zone_pa_ = at_rest_pa();
  building_gauge_.settle(building_pressure_pa(zone_pa_));
}

Plant::Pressures Plant::dynamic_pressures_pa() const {
  Pressures dynamic_pa;
  for (std::size_t place = 0; place < kWindPlaces; ++place) {
    const double speed = wind_.speed_m_s(place);
    dynamic_pa[place] = 0.5 * air_.outdoor_kg_m3 * speed * speed;
  }
  return dynamic_pa;
}

void Plant::feel_wind(const Pressures& dynamic_pa) {
  const auto at_facade = [&](Facade facade) { return dynamic_pa[static_cast<std::size_t>(facade)]; };
  for (std::size_t i = 0; i < zone_.leaks(); ++i)
    zone_.set_wind_pressure(i, house_.leaks[i].wind_cp * at_facade(house_.leaks[i].facade));
  for (std::size_t i = 0; i < fans(); ++i) {
    const FanUnitSpec& unit = house_.fans[i];
    fans_[i].offset_pa = air_.stack_pa(unit.height_m) - unit.wind_cp * at_facade(unit.facade);
  }
  tap_wind_pa_ = house_.tap_cp * dynamic_pa[kTapPlace];
}

void Plant::find_rest() {
  Pressures mean_pa;
  for (std::size_t place = 0; place < kWindPlaces; ++place)
    mean_pa[place] = 0.5 * air_.outdoor_kg_m3 * wind_.mean_square_m2_s2(place);
  feel_wind(mean_pa);
  rest_pa_ = at_rest_pa() + air_.stack_pa(house_.tap_height_m) - tap_wind_pa_;
  feel_wind(dynamic_pressures_pa());
}

double Plant::at_rest_pa() const {
  const auto leaving = [this](double pa) {
    return zone_.outflow(pa).kg_s + air_.indoor_kg_m3 * exhaust_m3_s_;
  };
  if (leaving(0) == 0) return 0;
  double low = -kMostPressure;
  double high = kMostPressure;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (leaving(middle) > 0 ? high : low) = middle;
  }
  return 0.5 * (low + high);
}

double Plant::building_pressure_pa(double zone_pa) const {
  return zone_pa + air_.stack_pa(house_.tap_height_m) - tap_wind_pa_;
}

Outflow Plant::outflow(double zone_pa) {
  Outflow sum = zone_.outflow(zone_pa);
  sum.kg_s += air_.indoor_kg_m3 * exhaust_m3_s_;
  for (std::size_t i = 0; i < fans(); ++i) {
    Fan& fan = fans_[i];
    if (fan.covered) continue;
    const double against = control::along(direction_, zone_pa + fan.offset_pa);
    fan.point = fan.duty.solve(fan.mean_speed_frac, against, fan.point.flow_m3_s);
    sum.kg_s += fan.point.outflow.kg_s;
    sum.kg_s_pa += fan.point.outflow.kg_s_pa;
  }
  solved_pa_ = zone_pa;
  return sum;
}

void Plant::step(double dt_s) {
  constexpr double longest = 3600;
  if (!(dt_s > 0 && dt_s <= longest)) return;
  const int parts = static_cast<int>(std::ceil(dt_s / kMostStep - 1e-9));
  for (int i = 0; i < parts; ++i) advance(dt_s / parts);
  time_s_ += dt_s;
  building_gauge_.sample(dt_s);
  for (std::size_t i = 0; i < fans(); ++i) {
    fans_[i].gauge.sample(dt_s);
    fans_[i].acting_frac = fans_[i].waiting_frac;
  }
}

void Plant::advance(double dt_s) {
  if (!wind_.steady()) {
    constexpr double rounding_s = 1e-9;
    since_tick_s_ += dt_s;
    if (since_tick_s_ > Wind::tick_s - rounding_s) {
      since_tick_s_ -= Wind::tick_s;
      wind_.tick();
      feel_wind(dynamic_pressures_pa());
    }
  }
  for (std::size_t i = 0; i < fans(); ++i) {
    Fan& fan = fans_[i];
    const double before = fan.drive.speed_frac();
    fan.drive.step(fan.stalled ? 0 : fan.acting_frac, dt_s);
    fan.mean_speed_frac = 0.5 * (before + fan.drive.speed_frac());
  }
  const Relaxed next = relax(zone_pa_, dt_s, kg_pa_, [this](double pa) { return outflow(pa); });
  zone_pa_ = std::clamp(next.end_pa, -kMostPressure, kMostPressure);
  const double mean_pa = std::clamp(next.mean_pa, -kMostPressure, kMostPressure);
  for (std::size_t i = 0; i < fans(); ++i) {
    Fan& fan = fans_[i];
    fan.point.flow_m3_s -= fan.point.flow_m3_s_pa * control::along(direction_, mean_pa - solved_pa_);
    fan.signal_pa = fan.duty.signal_pa(fan.point.flow_m3_s);
    fan.gauge.follow(fan.signal_pa, dt_s);
  }
  building_gauge_.follow(building_pressure_pa(mean_pa), dt_s);
}

void Plant::set_command(double demand_frac, bool enabled, int fan) {
  if (has(fan)) at(fan).waiting_frac = enabled ? fraction(demand_frac) : 0;
}

void Plant::set_fan(Fan& fan) { fan.duty.set(fan.fitted, direction_, fan.blocked_part); }

void Plant::set_covered(bool covered, int fan) {
  if (!has(fan)) return;
  at(fan).covered = covered;
  if (covered) at(fan).point = {};
}

void Plant::set_fitted(int restriction, int fan) {
  if (!has(fan) || restriction < 0) return;
  const auto& fitting = house_.fans[static_cast<std::size_t>(fan)].fan.restrictions;
  if (restriction >= static_cast<int>(fitting.size())) return;
  at(fan).fitted = restriction;
  set_fan(at(fan));
}

void Plant::set_direction(control::Direction direction) {
  direction_ = direction;
  for (std::size_t i = 0; i < fans(); ++i) {
    fans_[i].point = {};
    set_fan(fans_[i]);
  }
}

Measurement Plant::measure() const {
  Measurement read;
  read.building_pressure_pa = building_gauge_.reading_pa();
  read.indoor_c = house_.indoor_c;
  read.outdoor_c = house_.outdoor_c;
  for (std::size_t i = 0; i < fans(); ++i)
    read.fans[i] = {.signal_pa = std::max(0.0, fans_[i].gauge.reading_pa()),
                    .speed_frac = fans_[i].drive.speed_frac()};
  return read;
}

Truth Plant::truth() const {
  Truth truth;
  truth.time_s = time_s_;
  truth.zone_pressure_pa = zone_pa_;
  truth.building_pressure_pa = building_pressure_pa(zone_pa_);
  truth.rest_pressure_pa = rest_pa_;
  truth.induced_pa = truth.building_pressure_pa - rest_pa_;
  truth.tap_wind_pa = tap_wind_pa_;
  truth.wind_m_s = wind_.speed_m_s(kTapPlace);
  for (std::size_t i = 0; i < fans(); ++i) {
    const Fan& fan = fans_[i];
    truth.fans[i] = {
        .speed_frac = fan.drive.speed_frac(), .flow_m3_s = fan.point.flow_m3_s, .signal_pa = fan.signal_pa};
    truth.flow_m3_s += fan.point.flow_m3_s;
  }
  for (std::size_t i = 0; i < zone_.leaks(); ++i) truth.leak_pressure_pa[i] = zone_.across_pa(i, zone_pa_);
  return truth;
}

}  // namespace leeward::sim
