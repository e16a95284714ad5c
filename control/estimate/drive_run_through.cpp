#include "control/estimate/drive_run_through.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kFitNoise = 0.12;    // Pa: noise and resolution
constexpr double kCurveShare = 0.01;  // of the signal: the fan's curve
constexpr double kQuiet = 0.15;       // Pa: a gauge that can't go below nothing shows nothing

}  // namespace

void run_through(std::span<const DriveReading> r, PlantModel m, const Guess& g, Residuals& out) {
  m.drive_slew_s = std::exp(g[kSlewAt]);
  m.drive_lag_s = std::exp(g[kLagAt]);
  const double gauge_s = std::exp(g[kGaugeAt]);
  const double tube_s = std::exp(g[kTubeAt]);
  const double per_speed = std::exp(g[kScaleAt]);
  const double compliance = std::exp(g[kStorageAt]);
  double ramp = 0;
  double speed = 0;
  double pressure = g[kBeginAt];
  double shown = pressure;
  double told = 0;
  double flow = 0;
  for (std::size_t k = 0; k < r.size(); ++k) {
    if (k > 0) {
      const double dt = r[k].dt_s;
      const double acting = k >= 2 ? r[k - 2].demand_frac : 0;
      const double wanted =
          acting > g[kOffsetAt] ? std::max(g[kLeastSpeedAt], (acting - g[kOffsetAt]) / per_speed) : 0;
      const double ramp_before = ramp;
      const double speed_before = speed;
      const double before = pressure;
      ramp = ramp_step(m, ramp, wanted, dt);
      speed += lag_share(dt, m.drive_lag_s) * (0.5 * (ramp_before + ramp) - speed);
      const ZoneStep z = zone_step(
          m,
          {0.5 * (speed_before + speed), pressure, g[kBendAt], g[kLevelAt], g[kExponentAt], compliance, flow},
          dt);
      flow = z.fan.flow_m3_s;
      pressure = std::clamp(pressure + z.settle_s * z.rate_pa_s, -200.0, 400.0);
      shown += lag_share(dt, gauge_s) * (0.5 * (before + pressure) - shown);
      const double passed = std::max(0.0, flow + z.fan.per_pa * 0.5 * (pressure - before));
      told += lag_share(dt, tube_s) * (signal_pa(*m.restriction, passed) - told);
    }
    const double p = shown + g[kZeroAt] - r[k].pressure_pa;
    out.pressure[k] = r[k].pressure_good ? p / kFitNoise : 0;
    const bool nothing = r[k].signal_pa < kQuiet && told < kQuiet;
    const double s = (told - r[k].signal_pa) / std::hypot(kFitNoise, kCurveShare * r[k].signal_pa);
    out.signal[k] = r[k].signal_good && !nothing ? s : 0;
  }
}

}  // namespace leeward::control
