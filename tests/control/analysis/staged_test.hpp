#pragma once
/// The record of a test in light gusts, made here, in which something may be staged at a time.

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>

#include "control/analysis/analyse.hpp"
#include "control/analysis/diagnosis.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/physics/flow_element.hpp"

namespace leeward::control::staged {

inline constexpr double kC = 0.03;  // m3/(s Pa^n), of the envelope
inline constexpr double kN = 0.65;

/// What is staged; `t_s` counts from the begin of the first zero-flow reading.
struct Play {
  /// Flow through the fan, from that of the leaks alone at an induced pressure.
  std::function<double(double t_s, double induced_pa, double flow_m3_s)> flow =
      [](double, double, double flow_m3_s) { return flow_m3_s; };
  /// Shift of the zero-flow pressure, as read.
  std::function<double(double t_s)> zero = [](double) { return 0.0; };
  double unrest_pa = 0;  ///< of the tube's end alone
  std::function<int(double target_pa)> named = [](double) { return 0; };
  std::function<int(double target_pa)> fitted = [](double) { return 0; };
  bool swapped = false;
  std::function<double(double target_pa)> tube_lag_s = [](double) { return 0.0; };  ///< on the way there
};

/// Two restrictions a factor of 3 apart, and a curve that is as steep as a throttled fan.
inline FanSpec fan() {
  FanSpec f;
  f.name = "staged-fan";
  for (const double flow : {0.0, 0.8, 1.6, 2.4}) f.curve.push_back({flow, 300 - 45 * flow * flow});
  f.restrictions.push_back({"bore-290", 0.0686, 0.5, 5, 320, 0.9, 0});
  f.restrictions.push_back({"bore-165", 0.0222, 0.5, 5, 330, 0.9, 0});
  return f;
}

class Test {
 public:
  explicit Test(const Play& play, unsigned seed = 1) : play_(play), rng_(seed) {
    run_.fan = fan();
    run_.procedure.stations_pa.push_back(60);
    run_.building = {"staged", 400, 400, 150, 5, 0};
    run_.conditions.indoor_c = run_.conditions.outdoor_c = 20;
    run_.conditions.indoor_rh_frac = run_.conditions.outdoor_rh_frac = 0;
    run_.conditions.has_wind = true;
    run_.conditions.wind_m_s = 2;
  }

  /// One direction more.
  Test& take(Direction direction) {
    DirectionRecord d;
    d.direction = direction;
    d.before = baseline();
    for (double target = 60; target > 5; target -= 5) {
      const MoveLag move = move_to(target);
      d.stations.push_back(station(direction, target));
      d.stations.back().move = move;
    }
    pass(20);
    d.after = baseline();
    run_.directions.push_back(d);
    return *this;
  }

  RunRecord& record() { return run_; }
  [[nodiscard]] Findings findings() const { return diagnose(run_, analyse(run_)); }

 private:
  [[nodiscard]] double now_s() const { return static_cast<double>(now_ns_ - kStart) * 1e-9; }
  double gust() {
    const double keeps = std::exp(-0.1 / 10.0);
    gust_ = keeps * gust_ + 0.1 * std::sqrt(1 - keeps * keeps) * gauss_(rng_);
    const double keeps_tap = std::exp(-0.1 / 4.0);
    tap_ = keeps_tap * tap_ + play_.unrest_pa * std::sqrt(1 - keeps_tap * keeps_tap) * gauss_(rng_);
    now_ns_ += 100'000'000;
    return gust_;
  }
  void pass(double seconds) {
    for (int i = 0; i < seconds * 10; ++i) (void)gust();
  }
  /// 5 Pa down in 5 s, then 5 s of waiting.
  MoveLag move_to(double target_pa) {
    MoveLag move;
    double read_pa = target_pa + 5;
    const double lag_s = play_.tube_lag_s(target_pa);
    const auto& named = run_.fan.restrictions[static_cast<std::size_t>(play_.named(target_pa))];
    const auto& fitted = run_.fan.restrictions[static_cast<std::size_t>(play_.fitted(target_pa))];
    for (int i = 0; i < 100; ++i) {
      (void)gust();
      const double true_pa = target_pa + std::max(0.0, 5 - 0.1 * i);
      read_pa += lag_s > 0 ? (true_pa - read_pa) * 0.1 / lag_s : true_pa - read_pa;
      const double flow = play_.flow(now_s(), true_pa, kC * std::pow(true_pa, kN));
      add(move, read_pa, flow_m3_s(named, signal_pa(fitted, flow)), 0.1);
    }
    return move;
  }
  BaselineRecord baseline() {
    BaselineRecord b{.taken = true, .begin_ns = now_ns_};
    double squares = 0;
    constexpr int count = 300;
    for (int i = 0; i < count; ++i) {
      const double p = gust() + tap_ + 1 + play_.zero(now_s());
      add(b.blocks, p, 0, 0.1);
      b.mean_pa += p / count;
      squares += p * p / count;
    }
    b.sd_pa = std::sqrt(std::max(0.0, squares - b.mean_pa * b.mean_pa));
    b.end_ns = now_ns_;
    return b;
  }
  StationRecord station(Direction direction, double target_pa) {
    const FanSpec& f = run_.fan;
    const auto named = static_cast<std::size_t>(play_.named(target_pa));
    const auto fitted = static_cast<std::size_t>(play_.fitted(target_pa));
    StationRecord s{.target_pa = target_pa, .begin_ns = now_ns_, .restriction = static_cast<int>(named)};
    constexpr int count = 200;
    double true_flow = 0;
    for (int i = 0; i < count; ++i) {
      const double wind = gust();
      // At a kept speed the building's pressure moves the signal along the fan's curve.
      const double induced = target_pa + 0.5 * sign_of(direction) * wind;
      const double driving = induced - sign_of(direction) * wind;
      const double flow = play_.flow(now_s(), target_pa, kC * std::pow(driving, kN));
      const double signal = signal_pa(f.restrictions[fitted], flow);
      const double read = flow_m3_s(f.restrictions[named], signal);
      double p = sign_of(direction) * induced + tap_ + 1 + play_.zero(now_s());
      if (play_.swapped) p = 2 - p;
      add(s.blocks, p, read, 0.1);
      s.pressure_mean_pa += p / count;
      s.flow_mean_m3_s += read / count;
      true_flow += flow / count;
      s.signal_mean_pa += signal / count;
    }
    const double rise = target_pa + 0.9 * s.signal_mean_pa;
    // The fan works for what truly flows, whatever is read.
    s.demand_mean_frac = 0.02 + demand_for(*FanCurve::make(f.curve), true_flow, rise, 6).value_or(0.5);
    s.end_ns = now_ns_;
    return s;
  }

  static constexpr std::int64_t kStart = 1'000'000'000;
  Play play_;
  std::mt19937 rng_;
  std::normal_distribution<double> gauss_;
  double gust_ = 0;
  double tap_ = 0;
  std::int64_t now_ns_ = kStart;
  RunRecord run_;
};

}  // namespace leeward::control::staged
