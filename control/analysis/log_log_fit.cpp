#include "control/analysis/log_log_fit.hpp"

#include <array>
#include <cmath>

#include "control/procedure/procedure_spec.hpp"

namespace leeward::control {

namespace {

double mean_of(std::span<const double> values) {
  double sum = 0;
  for (const double v : values) sum += v;
  return sum / static_cast<double>(values.size());
}

double squared_residuals(const LineFit& line, double mean_y, std::span<const double> x,
                         std::span<const double> y) {
  double sum = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double r = (y[i] - mean_y) - line.slope * (x[i] - line.mean_x);
    sum += r * r;
  }
  return sum;
}

void set_standard_errors(LineFit& line, double residual_sum) {
  if (line.degrees_of_freedom == 0) return;
  const double n = line.points;
  line.residual_s = std::sqrt(residual_sum / line.degrees_of_freedom);
  line.slope_se = line.residual_s / std::sqrt(line.spread_x);
  line.intercept_se = line.slope_se * std::sqrt(line.spread_x / n + line.mean_x * line.mean_x);
  line.slope_intercept_covariance = -line.mean_x * line.slope_se * line.slope_se;
}

}  // namespace

double LineFit::se_at(double x) const noexcept {
  const double off = x - mean_x;
  return slope_se * std::sqrt(spread_x / points + off * off);
}

LineFit fit_line(std::span<const double> x, std::span<const double> y) noexcept {
  LineFit line;
  if (x.size() < 2 || x.size() != y.size()) return line;
  line.points = static_cast<int>(x.size());
  line.degrees_of_freedom = line.points - 2;
  line.mean_x = mean_of(x);
  const double mean_y = mean_of(y);
  double spread_y = 0;
  double spread_xy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    line.spread_x += (x[i] - line.mean_x) * (x[i] - line.mean_x);
    spread_y += (y[i] - mean_y) * (y[i] - mean_y);
    spread_xy += (x[i] - line.mean_x) * (y[i] - mean_y);
  }
  // Equal x leave a spread of rounding errors, not of zero.
  const double rounding = 1e-20 * line.points * line.mean_x * line.mean_x;
  if (!(line.spread_x > rounding) || !std::isfinite(line.spread_x) || !std::isfinite(spread_y)) return line;
  line.slope = spread_xy / line.spread_x;
  line.intercept = mean_y - line.slope * line.mean_x;
  line.r2 = spread_y > 0 ? spread_xy * spread_xy / (line.spread_x * spread_y) : 0;
  set_standard_errors(line, squared_residuals(line, mean_y, x, y));
  line.ok = true;
  return line;
}

LineFit fit_log_log(std::span<const double> pressure_pa, std::span<const double> flow_m3_s) noexcept {
  if (pressure_pa.size() > kMaxStations || pressure_pa.size() != flow_m3_s.size()) return {};
  std::array<double, kMaxStations> x{};
  std::array<double, kMaxStations> y{};
  const std::size_t count = pressure_pa.size();
  for (std::size_t i = 0; i < count; ++i) {
    x[i] = std::log(pressure_pa[i]);
    y[i] = std::log(flow_m3_s[i]);
  }
  return fit_line({x.data(), count}, {y.data(), count});
}

}  // namespace leeward::control
