#include "sim/campaign/floor_time.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leeward::sim {

namespace {

constexpr double kTick = 0.1;  // s
constexpr double kRate = 10;   // Hz

/// The plant with its speed as the hand on the lever, and the induced pressure as what is seen.
struct Bench {
  Plant plant;
  double zero_pa = 0;

  [[nodiscard]] double induced_pa() const {
    return control::along(plant.direction(), plant.truth().building_pressure_pa - zero_pa);
  }
  /// One sample with the drive's ramp on its way from one speed to another.
  void step(double from_speed, double to_speed) {
    const DriveSpec& drive = plant.house().fans[0].drive;
    const bool stops = to_speed <= 0 || (to_speed < from_speed && to_speed < drive.least_speed_frac);
    const double turning = drive.dead_band_frac + std::max(to_speed, 1e-6) * (1 - drive.dead_band_frac);
    plant.set_command(stops ? 0 : turning, true);
    plant.step(kTick);
  }
};

/// Full slew up until `up_s`, down for `brake_s`, then to the steady speed.
struct Profile {
  double from_speed = 0;
  double steady_speed = 0;
  double slew_per_s = 0;
  double up_s = 0;
  double brake_s = 0;

  [[nodiscard]] double speed_at(double t_s) const {
    const double top = std::min(1.0, from_speed + slew_per_s * std::min(t_s, up_s));
    if (t_s <= up_s) return top;
    const double low = std::max(0.0, top - slew_per_s * std::min(t_s - up_s, brake_s));
    const double reach = slew_per_s * std::max(0.0, t_s - up_s - brake_s);
    return low + std::clamp(steady_speed - low, -reach, reach);
  }
};

struct Flight {
  bool passed = false;  ///< the upper end of the band
  double settled_s = 0;
};

Flight fly(Bench bench, const Profile& profile, double target_pa, double each_s) {
  Flight flight;
  const auto samples = static_cast<int>(std::lround(each_s / kTick));
  int outside = std::abs(bench.induced_pa() - target_pa) > kSettledWithinPa ? 0 : -1;
  for (int i = 1; i <= samples; ++i) {
    bench.step(profile.speed_at((i - 1) * kTick), profile.speed_at(i * kTick));
    const double off = bench.induced_pa() - target_pa;
    flight.passed = off > kSettledWithinPa;
    if (flight.passed) return flight;
    if (off < -kSettledWithinPa) outside = i;
  }
  flight.settled_s = outside == samples ? each_s : (outside + 1) / kRate;
  return flight;
}

/// With a given time of braking, the latest start of it that does not pass the band.
double settled_with_brake(const Bench& bench, Profile profile, double target_pa, double each_s) {
  double low = 0;
  double high = each_s;
  profile.up_s = high;
  const Flight never_braked = fly(bench, profile, target_pa, each_s);
  if (!never_braked.passed) return never_braked.settled_s;
  double settled_s = each_s;
  constexpr double fine_s = 0.004;
  while (high - low > fine_s) {
    profile.up_s = 0.5 * (low + high);
    const Flight flight = fly(bench, profile, target_pa, each_s);
    if (!flight.passed) settled_s = std::min(settled_s, flight.settled_s);
    (flight.passed ? high : low) = profile.up_s;
  }
  return settled_s;
}

double best_over_brakes(const Bench& bench, Profile profile, double target_pa, double each_s) {
  const double longest_s = 1 / profile.slew_per_s;
  double best_s = each_s;
  double best_brake_s = 0;
  double pitch_s = longest_s / 12;
  const auto attempt = [&](double brake_s) {
    profile.brake_s = brake_s;
    const double settled_s = settled_with_brake(bench, profile, target_pa, each_s);
    if (settled_s < best_s) best_brake_s = brake_s;
    best_s = std::min(best_s, settled_s);
  };
  for (int i = 0; i <= 12; ++i) attempt(i * pitch_s);
  for (int finer = 0; finer < 3; ++finer) {
    pitch_s /= 2;
    const double middle_s = best_brake_s;
    attempt(std::max(0.0, middle_s - pitch_s));
    attempt(std::min(longest_s, middle_s + pitch_s));
  }
  return best_s;
}

/// Lets the plant come to rest at a speed. @returns the pressure there
double settle(Bench& bench, double speed) {
  constexpr double longest_s = 400;
  constexpr double still_pa = 0.002;
  double last_pa = bench.induced_pa();
  for (double t = 0; t < longest_s; t += 5) {
    for (int i = 0; i < 50; ++i) bench.step(speed, speed);
    const double now_pa = bench.induced_pa();
    if (t > 15 && std::abs(now_pa - last_pa) < still_pa) break;
    last_pa = now_pa;
  }
  return bench.induced_pa();
}

struct Steady {
  Bench bench;
  double speed = 1;
};

/// The speed that holds a pressure, and the plant at rest there.
Steady steady_at(Bench bench, double target_pa) {
  double low = 0;
  double high = 1;
  double speed = 0.5;
  constexpr double near_pa = 0.02;
  for (int i = 0; i < 24; ++i) {
    const double off = settle(bench, speed) - target_pa;
    if (std::abs(off) < near_pa) break;
    (off > 0 ? high : low) = speed;
    // Pressure goes about with the square of the speed.
    const double guess = speed * std::sqrt(target_pa / std::max(off + target_pa, 0.05 * target_pa));
    speed = guess > low && guess < high ? guess : 0.5 * (low + high);
  }
  return {std::move(bench), speed};
}

Bench covered_bench(const HouseSpec& house, int restriction, double covered_s) {
  Bench bench{Plant(house, 1)};
  bench.plant.set_fitted(restriction);
  const auto samples = std::max(1, static_cast<int>(std::lround(covered_s / kTick)));
  double sum = 0;
  for (int i = 0; i < samples; ++i) {
    bench.plant.step(kTick);
    sum += bench.plant.truth().building_pressure_pa;
  }
  bench.zero_pa = sum / samples;
  bench.plant.set_covered(false);
  return bench;
}

}  // namespace

double settling_time_s(std::span<const double> pressure_pa, double target_pa, double sample_s) {
  std::size_t settled = pressure_pa.size();
  while (settled > 0 && std::abs(pressure_pa[settled - 1] - target_pa) <= kSettledWithinPa) --settled;
  if (settled == pressure_pa.size() && !pressure_pa.empty()) settled = pressure_pa.size() - 1;
  // By the rate: 0.1 s is no round number of a computer, its multiples would show it.
  return static_cast<double>(settled) / std::round(1 / sample_s);
}

std::vector<double> floor_times_s(const HouseSpec& house, int restriction, double covered_s,
                                  std::span<const double> targets_pa, double each_s) {
  std::vector<double> times;
  Bench bench = covered_bench(house, restriction, covered_s);
  double speed = 0;
  double from_pa = 0;
  for (const double target_pa : targets_pa) {
    const Steady steady = steady_at(bench, target_pa);
    const Profile profile{
        .from_speed = speed, .steady_speed = steady.speed, .slew_per_s = 1 / house.fans[0].drive.slew_s_full};
    times.push_back(target_pa > from_pa ? best_over_brakes(bench, profile, target_pa, each_s)
                                        : std::numeric_limits<double>::quiet_NaN());
    bench = steady.bench;
    speed = steady.speed;
    from_pa = target_pa;
  }
  return times;
}

}  // namespace leeward::sim
