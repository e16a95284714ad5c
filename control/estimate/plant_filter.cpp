#include "control/estimate/plant_filter.hpp"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr auto kN = static_cast<int>(kPlantParts);
using Matrix = Eigen::Matrix<double, kN, kN, Eigen::RowMajor>;
using Vector = Eigen::Matrix<double, kN, 1>;
constexpr int kS = static_cast<int>(PlantPart::speed);
constexpr int kP = static_cast<int>(PlantPart::pressure);
constexpr int kYb = static_cast<int>(PlantPart::gauge);
constexpr int kYf = static_cast<int>(PlantPart::signal);
constexpr int kW = static_cast<int>(PlantPart::wind);
constexpr int kL = static_cast<int>(PlantPart::level);
constexpr int kE = static_cast<int>(PlantPart::exponent);
constexpr int kCz = static_cast<int>(PlantPart::storage);
constexpr int kA = static_cast<int>(PlantPart::offset);
constexpr int kB = static_cast<int>(PlantPart::scale);

constexpr double kLongestPart = 0.1;  // s
constexpr int kMostParts = 20;
constexpr double kGaugeU = 0.12;  // Pa: noise and resolution
// By which a gauge's lag may be other than told, of it; and that of the fan's pressure drop besides.
constexpr double kGaugeLagU = 0.05;
constexpr double kSignalLagU = 0.3;
constexpr double kSpeedWalk = 0.004;    // of full speed in a root second
constexpr double kSpeedLagU = 0.1;      // of the way that the wheel still has to go
constexpr double kPressureWalk = 0.05;  // Pa in a root second
// By which gusts move the pressure past what one wind across all leaks explains, of their size in a root
// second: without it the filter takes the gusts for a larger zone, or a tighter one, and loses the pressure.
constexpr double kGustWalk = 0.35;
constexpr double kSignalU = 0.01;  // relative: the fan's curve
constexpr double kPlantLevelWalkPerS = 0.02 * 0.02 / 10;
constexpr double kPlantExponentWalkPerS = 0.003 * 0.003 / 10;
constexpr double kPlantStorageWalkPerS = 0.02 * 0.02 / 10;
constexpr double kPlantOffsetWalkPerS = 0.001 * 0.001 / 10;
constexpr double kPlantScaleWalkPerS = 0.005 * 0.005 / 10;
// Stack and wind bend the curve at low pressures: on the way up the exponent comes back to the usual one.
constexpr double kUsualExponent = 0.65;
constexpr double kExponentBack = 0.4;  // for each factor of e in pressure
constexpr double kExponentBend = 0.02;
constexpr double kLeastBent = 5;  // Pa
// Give of house and air together, over the volume's own at constant temperature: none can be outside, be the
// volume told wrong by a factor of two; and what it comes back to where gusts hide it.
constexpr double kLeastGive = 0.3;
constexpr double kMostGive = 6;
constexpr double kGiveUnknown = 3;     // ln, where no volume is told
constexpr double kStorageBack = 0.02;  // in a second ...
constexpr double kHiddenFrom = 0.3;    // ... in gusts well above so many Pa
constexpr double kFollowed = 0.02;     // speed from the ramp below which offset and scale show
constexpr double kSurpriseShare = 0.03;
constexpr double kAnchorSignal = 1;    // Pa
constexpr double kAnchorPressure = 3;  // Pa
constexpr double kAnchorU = 0.05;
constexpr double kAnchorTime = 1;  // s over which its errors hang together

double square(double v) { return v * v; }

double speed_wanted(const PlantFilter& f, double demand) {
  return demand > f.x[kA] ? (demand - f.x[kA]) / std::exp(f.x[kB]) : 0;
}

/// The wheel over a part of a step; its row of slopes.
void turn_wheel(PlantFilter& f, const PlantModel& m, double demand, double dt, Matrix& slopes) {
  const double before = f.ramp_speed;
  const double wanted = speed_wanted(f, demand);
  f.ramp_speed = ramp_step(m, before, wanted, dt);
  const double follow = lag_share(dt, m.drive_lag_s);
  f.x[kS] += follow * (0.5 * (before + f.ramp_speed) - f.x[kS]);
  slopes(kS, kS) = 1 - follow;
  const bool followed = f.ramp_speed == wanted && std::abs(f.ramp_speed - f.x[kS]) < kFollowed;
  if (followed && wanted > 0) {
    slopes(kS, kA) = -follow / std::exp(f.x[kB]);
    slopes(kS, kB) = -follow * f.ramp_speed;
  }
}

/// The zone's pressure over a part of a step; its row of slopes.
ZoneStep fill_zone(PlantFilter& f, const PlantModel& m, double speed, double dt, Matrix& slopes) {
  const double compliance = std::exp(f.x[kCz]);
  const ZoneStep z = zone_step(m, {speed, f.x[kP], f.x[kW], f.x[kL], f.x[kE], compliance, f.flow_m3_s}, dt);
  f.flow_m3_s = z.fan.flow_m3_s;
  const double per_flow = z.settle_s / compliance;
  constexpr double least_pa = 0.3;
  const double size = std::max(std::abs(f.x[kP] - f.x[kW]), least_pa);
  slopes(kP, kP) = 1 - z.settle_s * z.pull_per_s;
  slopes(kP, kS) = per_flow * m.fans * z.fan.per_speed * (1 - 0.5 * lag_share(dt, m.drive_lag_s));
  slopes(kP, kW) = per_flow * z.leak.per_pa;
  slopes(kP, kL) = -per_flow * z.leak.m3_s;
  slopes(kP, kE) = -per_flow * z.leak.m3_s * std::log(size / kPlantPivotPa);
  slopes(kP, kCz) = -z.settle_s * z.rate_pa_s;
  f.x[kP] += z.settle_s * z.rate_pa_s;
  return z;
}

/// Both gauges over a part of a step; their rows of slopes.
void move_gauges(PlantFilter& f, const PlantModel& m, const FanFlow& fan, double pressure_before, double dt,
                 Matrix& slopes) {
  const double show = lag_share(dt, m.gauge_lag_s);
  f.x[kYb] += show * (0.5 * (pressure_before + f.x[kP]) - f.x[kYb]);
  slopes.row(kYb) = 0.5 * show * slopes.row(kP);
  slopes(kYb, kP) += 0.5 * show;
  slopes(kYb, kYb) = 1 - show;

  constexpr double least_flow = 1e-6;
  const double flow = std::max(0.0, fan.flow_m3_s + fan.per_pa * 0.5 * (f.x[kP] - pressure_before));
  const double drop = signal_pa(*m.restriction, flow);
  const double drop_per_flow = flow > least_flow ? drop / (m.restriction->m * flow) : 0;
  const double tell = lag_share(dt, m.signal_lag_s);
  f.signal_ahead_pa = drop - f.x[kYf];
  f.x[kYf] += tell * f.signal_ahead_pa;
  slopes(kYf, kYf) = 1 - tell;
  slopes(kYf, kS) = tell * drop_per_flow * fan.per_speed;
  slopes(kYf, kP) = tell * drop_per_flow * fan.per_pa;
}

/// @param bend  ln of the pressure gone through in this part
void widen(const PlantFilter& f, const PlantModel& m, double bend, double dt, Matrix& p) {
  const double lagging = kSpeedLagU * (f.ramp_speed - f.x[kS]) / std::max(0.1, m.drive_lag_s);
  p(kS, kS) += (square(kSpeedWalk) + 2 * square(lagging)) * dt;
  p(kP, kP) += (square(kPressureWalk) + square(kGustWalk * m.wind_u_pa)) * dt;
  p(kW, kW) += 2 * square(m.wind_u_pa) / m.wind_time_s * dt;
  p(kYf, kYf) += 2 * square(kSignalU * f.x[kYf]) * dt;
  if (!(f.ramp_speed > 0)) return;
  p(kL, kL) += kPlantLevelWalkPerS * dt;
  p(kE, kE) += kPlantExponentWalkPerS * dt + square(kExponentBend) * bend;
  p(kCz, kCz) += kPlantStorageWalkPerS * dt;
  p(kA, kA) += kPlantOffsetWalkPerS * dt;
  p(kB, kB) += kPlantScaleWalkPerS * dt;
}

/// In gusts the zone's storage can't be told from what they do: it comes back to the usual one of its volume.
void return_storage(PlantFilter& f, const PlantModel& m, double dt) {
  if (!(f.ramp_speed > 0) || !(f.volume_m3 > 0)) return;
  const double hidden = square(m.wind_u_pa / kHiddenFrom);
  f.x[kCz] += dt * kStorageBack * hidden / (1 + hidden) * (ln_storage(f.volume_m3, kUsualGive) - f.x[kCz]);
}

void part_step(PlantFilter& f, const PlantModel& m, double demand, double dt) {
  Matrix slopes = Matrix::Identity();
  const double speed_before = f.x[kS];
  const double pressure_before = f.x[kP];
  turn_wheel(f, m, demand, dt, slopes);
  const ZoneStep zone = fill_zone(f, m, 0.5 * (speed_before + f.x[kS]), dt, slopes);
  move_gauges(f, m, zone.fan, pressure_before, dt, slopes);
  const double calm = lag_share(dt, m.wind_time_s);
  f.x[kW] -= calm * f.x[kW];
  slopes(kW, kW) = 1 - calm;
  const double bend =
      std::abs(std::log(std::max(f.x[kP], kLeastBent) / std::max(pressure_before, kLeastBent)));
  f.x[kE] += kExponentBack * std::min(1.0, bend) * (kUsualExponent - f.x[kE]);
  return_storage(f, m, dt);
  Eigen::Map<Matrix> p(f.p.data());
  Matrix next = slopes * p * slopes.transpose();
  widen(f, m, bend, dt, next);
  p = next;
}

void keep_sane(PlantFilter& f) {
  const auto keep = [&](int part, double low, double high) { f.x[part] = std::clamp(f.x[part], low, high); };
  keep(kS, 0, 1.5);
  keep(kP, -200, 400);
  keep(kL, -12, 6);
  keep(kE, 0.45, 1);
  const double unknown = f.volume_m3 > 0 ? 0 : kGiveUnknown;
  keep(kCz, ln_storage(f.volume_m3, kLeastGive) - unknown, ln_storage(f.volume_m3, kMostGive) + unknown);
  keep(kA, 0, 0.25);
  keep(kB, -0.7, 0.7);
}

/// One reading that is `error` away from what `row` makes of the state.
void take(PlantFilter& f, const Vector& p_row, double expected, double error) {
  Eigen::Map<Matrix> p(f.p.data());
  Eigen::Map<Vector> x(f.x.data());
  const Vector gain = p_row / expected;
  x += gain * error;
  p -= gain * p_row.transpose();
  p = (0.5 * (p + p.transpose())).eval();
  keep_sane(f);
}

void see(PlantFilter& f, int part, double value, double variance, double& surprise) {
  if (!std::isfinite(value)) return;
  const Vector p_row = Eigen::Map<Matrix>(f.p.data()).col(part);
  const double expected = p_row(part) + variance;
  const double error = value - f.x[part];
  surprise += kSurpriseShare * (square(error) / expected - surprise);
  take(f, p_row, expected, error);
}

}  // namespace

double PlantFilter::u(PlantPart part) const { return std::sqrt(std::max(0.0, covariance(part, part))); }

double PlantFilter::flow_relative_u_at(double pressure_pa) const {
  const double t = std::log(std::max(1.0, pressure_pa) / kPlantPivotPa);
  const double variance = covariance(PlantPart::level, PlantPart::level) +
                          2 * t * covariance(PlantPart::level, PlantPart::exponent) +
                          t * t * covariance(PlantPart::exponent, PlantPart::exponent);
  return std::sqrt(std::max(0.0, variance));
}

PlantFilter plant_prior(const PlantModel& m, double volume_m3, const HouseCurve& house,
                        const FanMap& map) noexcept {
  PlantFilter f;
  f.started = true;
  f.volume_m3 = volume_m3;
  const bool told = volume_m3 > 0;
  f.x[kE] = exponent(house);
  f.x[kL] = house.pair.a + house.pair.b * std::log(kPlantPivotPa / HouseCurve::pivot_pa);
  f.x[kCz] = ln_storage(volume_m3, kUsualGive);
  f.x[kA] = std::clamp(map.pair.a, 0.0, 0.25);
  f.x[kB] = std::log(std::clamp(map.pair.b, 0.5, 2.0));
  Eigen::Map<Matrix> p(f.p.data());
  p.setZero();
  p(kS, kS) = square(0.001);
  p(kP, kP) = square(0.3);
  p(kYb, kYb) = square(0.3);
  p(kYf, kYf) = square(0.1);
  p(kW, kW) = square(m.wind_u_pa);
  p(kL, kL) = house.pair.var_a;
  p(kE, kE) = house.pair.var_b;
  p(kCz, kCz) = square(told ? 0.35 : 0.9);
  p(kA, kA) = map.pair.var_a;
  p(kB, kB) = map.pair.var_b;
  keep_sane(f);
  return f;
}

PlantFilter for_other_direction(const PlantFilter& filter) noexcept {
  constexpr double level_u = 0.1;
  constexpr double exponent_u = 0.03;
  PlantFilter f = filter;
  Eigen::Map<Matrix> p(f.p.data());
  for (const int part : {kS, kP, kYb, kYf, kW}) {
    f.x[part] = 0;
    p.row(part).setZero();
    p.col(part).setZero();
    p(part, part) = square(0.3);
  }
  p(kS, kS) = square(0.001);
  p(kL, kL) += square(level_u);
  p(kE, kE) += square(exponent_u);
  f.ramp_speed = f.flow_m3_s = f.signal_ahead_pa = f.waiting_frac = 0;
  return f;
}

void plant_predict(PlantFilter& f, const PlantModel& m, double acting_frac, double dt_s) noexcept {
  if (!(dt_s > 0) || !std::isfinite(acting_frac)) return;
  const int parts = std::clamp(static_cast<int>(std::ceil(dt_s / kLongestPart - 1e-6)), 1, kMostParts);
  for (int i = 0; i < parts; ++i) part_step(f, m, acting_frac, dt_s / parts);
  keep_sane(f);
}

void plant_see_pressure(PlantFilter& f, double induced_pa) noexcept {
  const double lagging = kGaugeLagU * (f.x[kP] - f.x[kYb]);
  see(f, kYb, induced_pa, square(kGaugeU) + square(lagging), f.surprise[0]);
}

void plant_see_signal(PlantFilter& f, double signal) noexcept {
  const double lagging = kSignalLagU * f.signal_ahead_pa;
  see(f, kYf, signal, square(kGaugeU) + square(lagging), f.surprise[1]);
}

void plant_anchor(PlantFilter& f, const PlantModel& m, double dt_s) noexcept {
  const double across = f.x[kYb];
  if (!(dt_s > 0) || !(f.x[kYf] > kAnchorSignal) || !(across > kAnchorPressure)) return;
  const double flow = m.fans * flow_m3_s(*m.restriction, f.x[kYf]);
  const double t = std::log(across / kPlantPivotPa);
  const double rate = std::abs(f.x[kP] - across) / std::max(0.1, m.gauge_lag_s);
  const double stored = std::exp(f.x[kCz]) * rate / flow;
  const double lagging = m.restriction->m * std::abs(f.signal_ahead_pa) / f.x[kYf];
  const double by_gauges =
      std::hypot(m.restriction->m * kGaugeU / f.x[kYf], f.x[kE] * std::hypot(m.wind_u_pa, kGaugeU) / across);
  const double u = std::hypot(kAnchorU, by_gauges, stored + lagging);
  const Eigen::Map<Matrix> p(f.p.data());
  const Vector p_row = p.col(kL) + t * p.col(kE);
  const double expected = p_row(kL) + t * p_row(kE) + square(u) * std::max(1.0, kAnchorTime / dt_s);
  take(f, p_row, expected, std::log(flow) - (f.x[kL] + t * f.x[kE]));
}

}  // namespace leeward::control
