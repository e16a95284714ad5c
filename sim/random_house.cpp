#include "sim/random_house.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "sim/house_truth.hpp"
#include "sim/rng.hpp"
#include "sim/unit_curve.hpp"

namespace leeward::sim {

namespace {

constexpr double kPi = 3.14159265358979323846;

double draw(Rng& rng, const Range& range) { return rng.uniform(range.low, range.high); }
double draw_log(Rng& rng, const Range& range) { return rng.log_uniform(range.low, range.high); }

/// A gamma variate of unit scale.
/// Range    shape 1 or more, taken as 1 below
/// Source   Marsaglia and Tsang 2000 (from memory)
double gamma_variate(Rng& rng, double shape) {
  const double d = std::max(shape, 1.0) - 1.0 / 3;
  for (;;) {
    const double x = rng.normal();
    const double root = 1 + x / std::sqrt(9 * d);
    const double v = root * root * root;
    const double u = rng.uniform();
    if (v > 0 && u > 0 && std::log(u) < 0.5 * x * x + d - d * v + d * std::log(v)) return d * v;
  }
}

struct Plan {
  double height_m = 0;
  double storeys = 0;
  double area_m2 = 0;
  double side_ratio = 0;  ///< of walls 1 and 3 over walls 2 and 4
  std::array<double, 4> wall_cp{};
};

Plan draw_plan(Rng& rng, const PopulationSpec& population, double volume_m3) {
  Plan plan;
  plan.storeys = std::floor(rng.uniform(1, population.storeys_max + 1.0));
  plan.height_m = plan.storeys * population.storey_height_m;
  plan.area_m2 = volume_m3 / plan.height_m;
  plan.side_ratio = draw_log(rng, population.side_ratio);
  const double from_rad = rng.uniform(0, 2 * kPi);
  for (std::size_t wall = 0; wall < plan.wall_cp.size(); ++wall) {
    const double ratio = wall % 2 == 0 ? plan.side_ratio : 1 / plan.side_ratio;
    plan.wall_cp[wall] = wall_wind_cp(from_rad - 0.5 * kPi * static_cast<double>(wall), ratio);
  }
  return plan;
}

void draw_leaks(Rng& rng, const PopulationSpec& population, const Plan& plan, HouseSpec& house) {
  house.leaks.clear();
  const double house_n = population.exponent_mean + population.exponent_sd * rng.normal();
  const auto add = [&](const std::string& name, double mean_share, double height_m, double cp,
                       Facade facade) {
    const double n = house_n + rng.uniform(-population.exponent_scatter, population.exponent_scatter);
    house.leaks.push_back({.name = name.c_str(),
                           .c_m3_s_pan = gamma_variate(rng, population.share_concentration * mean_share),
                           .n = std::clamp(n, population.exponent.low, population.exponent.high),
                           .height_m = height_m,
                           .wind_cp = cp,
                           .facade = facade});
  };
  for (std::size_t wall = 0; wall < 4; ++wall) {
    const std::string name = "wall-" + std::to_string(wall + 1);
    const auto facade = static_cast<Facade>(wall);
    const double share = population.wall_share / 8;
    add(name + "-low", share, 0.25 * plan.height_m, plan.wall_cp[wall], facade);
    add(name + "-high", share, 0.75 * plan.height_m, plan.wall_cp[wall], facade);
  }
  add("ceiling", population.ceiling_share, plan.height_m, draw(rng, population.roof_cp), Facade::ceiling);
  const double floor_share = 1 - population.wall_share - population.ceiling_share;
  add("floor", floor_share, 0, draw(rng, population.floor_cp), Facade::floor);

  // So far the coefficients are shares of the flow at 50 Pa.
  double sum = 0;
  for (const LeakSpec& leak : house.leaks) sum += leak.c_m3_s_pan;
  const double q50_m3_s = draw_log(rng, population.ach50_per_h) * house.volume_m3 / 3600;
  for (LeakSpec& leak : house.leaks) leak.c_m3_s_pan *= q50_m3_s / sum / std::pow(50.0, leak.n);
}

void draw_wind(Rng& rng, const PopulationSpec& population, const Plan& plan, HouseSpec& house) {
  WindSpec& wind = house.wind;
  wind.mean_m_s = draw(rng, population.wind_m_s);
  wind.shelter_factor = draw(rng, population.shelter_factor);
  wind.turbulence_intensity = 1 / std::log(6 / draw(rng, population.roughness_m));
  wind.length_scale_m = draw(rng, population.length_scale_m);
  wind.spectrum = rng.uniform() < 0.5 ? SpectrumKind::von_karman : SpectrumKind::kaimal;
  wind.slow_change_frac = draw(rng, population.slow_change_frac);
  const double side_m = std::sqrt(plan.area_m2);
  wind.face_distance_m = side_m;
  wind.face_size_m = std::sqrt(side_m * plan.height_m);
  const bool in_open = rng.uniform() < population.tap_in_open;
  const auto wall = static_cast<std::size_t>(rng.uniform(0, 4));
  const double open_cp = draw(rng, population.open_tap_cp);
  house.tap_cp = in_open ? open_cp : plan.wall_cp[wall];
}

void draw_rig(Rng& rng, const PopulationSpec& population, HouseSpec& house) {
  FanUnitSpec& unit = house.fans[0];
  unit.fan = population.fan;
  unit.head_factor = 1 + population.head_sd * rng.normal();
  unit.resistance_factor = 1 + population.resistance_sd * rng.normal();
  unit.drive.slew_s_full = draw(rng, population.slew_s_full);
  unit.drive.lag_s = draw(rng, population.motor_lag_s);
  unit.drive.dead_band_frac = draw(rng, population.dead_band_frac);
  unit.drive.least_speed_frac = population.least_speed_frac;
  house.sensors.building = population.sensor;
  house.sensors.building.lag_s = draw(rng, population.sensor_lag_s);
  house.sensors.signal = population.sensor;
  house.sensors.signal.lag_s = draw(rng, population.sensor_lag_s);
}

/// From a generator of its own, so that a seed's house is the same whether its fan stands in the wind or not.
void draw_fan_place(Rng rng, const PopulationSpec& population, HouseSpec& house) {
  if (rng.uniform() >= population.fan_at_wall) return;
  constexpr std::array facades{Facade::wall_1, Facade::wall_2, Facade::wall_3, Facade::wall_4};
  house.fans[0].facade = facades[static_cast<std::size_t>(rng.uniform(0, facades.size()))];
  for (const LeakSpec& leak : house.leaks)
    if (leak.facade == house.fans[0].facade) house.fans[0].wind_cp = leak.wind_cp;
}

HouseSpec draw_house(Rng& rng, const PopulationSpec& population) {
  HouseSpec house;
  house.volume_m3 = draw_log(rng, population.volume_m3);
  const Plan plan = draw_plan(rng, population, house.volume_m3);
  const double girth_m =
      2 * std::sqrt(plan.area_m2) * (std::sqrt(plan.side_ratio) + 1 / std::sqrt(plan.side_ratio));
  house.height_m = plan.height_m;
  house.floor_area_m2 = plan.area_m2 * plan.storeys;
  house.envelope_area_m2 = girth_m * plan.height_m + 2 * plan.area_m2;
  house.flexibility = draw_log(rng, population.flexibility);
  house.polytropic_index = draw(rng, population.polytropic_index);
  house.indoor_c = draw(rng, population.indoor_c);
  house.outdoor_c = house.indoor_c - draw(rng, population.warmer_indoors_k);
  house.altitude_m = draw(rng, population.altitude_m);
  draw_leaks(rng, population, plan, house);
  draw_wind(rng, population, plan, house);
  draw_rig(rng, population, house);
  return house;
}

}  // namespace

double wall_wind_cp(double incidence_rad, double side_ratio) {
  const double angle = std::abs(std::remainder(incidence_rad, 2 * kPi));
  const double g = std::log(side_ratio);
  const double sin_half = std::sin(angle / 2);
  const double cos_half = std::cos(angle / 2);
  const double sin_whole = std::sin(angle);
  const double sin_ratio = std::sin(2 * angle * g);
  return 0.6 * std::log(1.248 - 0.703 * sin_half - 1.175 * sin_whole * sin_whole +
                        0.131 * sin_ratio * sin_ratio * sin_ratio + 0.769 * cos_half +
                        0.07 * g * g * sin_half * sin_half + 0.717 * cos_half * cos_half);
}

bool fan_reaches(const HouseSpec& house, double pa, double speed_frac) {
  if (house.fans.empty() || house.fans[0].fan.restrictions.empty()) return false;
  const auto& largest = house.fans[0].fan.restrictions[0];
  const double flow = true_flow_at(house, pa);
  const double rise = speed_frac * speed_frac * UnitCurve(house.fans[0]).at(flow / speed_frac).pa;
  const double lost = largest.loss_frac * std::pow(flow / largest.k_m3_s_pam, 1 / largest.m);
  return rise - lost >= pa;
}

HouseSpec random_house(std::uint64_t seed, const PopulationSpec& population) {
  Rng rng(seed, 1000);
  HouseSpec house = draw_house(rng, population);
  constexpr int most_draws = 1000;
  for (int i = 1; i < most_draws && !fan_reaches(house, population.reach_pa, population.reach_speed_frac);
       ++i)
    house = draw_house(rng, population);
  draw_fan_place(Rng(seed, 1001), population, house);
  house.name = ("house-" + std::to_string(seed)).c_str();
  return house;
}

}  // namespace leeward::sim
