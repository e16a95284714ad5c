#pragma once
/// A house with its fan by the model's own equations, with noise on both gauges: what the filter and the
/// model law must manage when nothing of the model is wrong.

#include <cstdint>

#include "control/physics/flow_element.hpp"
#include "control/regulate/move_forecast.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {

class PlantTwin {
 public:
  explicit PlantTwin(double level, double compliance_m3_pa, double offset_frac = 0.04) {
    FixedVector<CurvePoint, kMaxCurvePoints> points;
    for (const CurvePoint& p : {CurvePoint{0, 300}, {1, 255}, {2, 120}, {2.5, 0}}) points.push_back(p);
    curve_ = *FanCurve::make(points);
    model_.curve = &curve_;
    model_.restriction = &plate_;
    model_.drive_slew_s = 6;
    model_.drive_lag_s = 1;
    model_.gauge_lag_s = 0.3;
    model_.signal_lag_s = 0.4;
    model_.wind_u_pa = 0.05;
    level_ = level;
    compliance_ = compliance_m3_pa;
    offset_ = offset_frac;
  }
  PlantTwin(const PlantTwin&) = delete;
  PlantTwin& operator=(const PlantTwin&) = delete;

  [[nodiscard]] const PlantModel& model() const { return model_; }
  [[nodiscard]] const MovePoint& at() const { return at_; }
  [[nodiscard]] double pressure_reading_pa() { return gauge_ + noise(); }
  [[nodiscard]] double signal_reading_pa() { return signal_ + noise(); }

  /// A tenth of a second; a demand acts in the step after the next.
  void step(double demand_frac) {
    constexpr double dt = 0.1;
    const MovePlant plant{model_, level_, 0.65, compliance_, offset_, 1};
    (void)go_on(plant, at_, acting_, dt);
    acting_ = demand_frac;
    gauge_ = lag_step(gauge_, at_.pressure_pa, dt, model_.gauge_lag_s);
    signal_ = lag_step(signal_, signal_pa(plate_, at_.flow_m3_s), dt, model_.signal_lag_s);
  }

 private:
  /// Even, +-0.17 Pa: 0.1 Pa of standard deviation.
  double noise() {
    seed_ = seed_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return 0.17 * (2.0 * static_cast<double>(seed_ >> 11U) / 9007199254740992.0 - 1);
  }
  FanCurve curve_ = *FanCurve::make([] {
    FixedVector<CurvePoint, kMaxCurvePoints> points;
    points.push_back({0, 300});
    points.push_back({2.5, 0});
    return points;
  }());
  RestrictionSpec plate_{.name = "plate", .k_m3_s_pam = 0.068, .m = 0.5, .loss_frac = 0.9};
  PlantModel model_;
  MovePoint at_;
  double level_ = 0;
  double compliance_ = 0;
  double offset_ = 0;
  double gauge_ = 0;
  double signal_ = 0;
  double acting_ = 0;
  std::uint64_t seed_ = 1;
};

}  // namespace leeward::control
