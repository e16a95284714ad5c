#include "control/regulate/first_order_fit.hpp"

#include <algorithm>
#include <cmath>

#include "control/regulate/sampled_lag.hpp"

namespace leeward::control {
namespace {

constexpr int kFitGrid = 24;
constexpr double kLeastMove = 1e-9;
constexpr int kRefinements = 40;
constexpr std::size_t kFewest = 20;

struct FitRecord {
  std::span<const double> u;
  std::span<const double> y;
  double dt_s;
};

/// Gain, level and drift that fit best once lag and delay are given, and the sum of squares that is left.
struct LinearFit {
  double gain = 0;
  double left = 0;
  bool sound = false;
};

/// Normal equations of y on (x, 1, t), solved by elimination of the last two: they are the same always.
struct FitSums {
  double n = 0, x = 0, y = 0, t = 0, xx = 0, xy = 0, xt = 0, yy = 0, yt = 0, tt = 0;
  void take(double xi, double yi, double ti) {
    n += 1;
    x += xi;
    y += yi;
    t += ti;
    xx += xi * xi;
    xy += xi * yi;
    xt += xi * ti;
    yy += yi * yi;
    yt += yi * ti;
    tt += ti * ti;
  }
  [[nodiscard]] LinearFit solved() const {
    const double sxx = xx - x * x / n;
    const double sxy = xy - x * y / n;
    const double sxt = xt - x * t / n;
    const double syy = yy - y * y / n;
    const double syt = yt - y * t / n;
    const double stt = tt - t * t / n;
    const double rxx = sxx - sxt * sxt / stt;
    const double rxy = sxy - sxt * syt / stt;
    if (!(rxx > kLeastMove * sxx) || !(sxx > 0)) return {};
    return {rxy / rxx, std::max(0.0, syy - syt * syt / stt - rxy * rxy / rxx), true};
  }
};

/// What the demand was so many samples ago; before the record it was as at its start.
double past(const FitRecord& r, std::size_t k, std::size_t ago) { return k >= ago ? r.u[k - ago] : r.u[0]; }

LinearFit linear_at(const FitRecord& r, double tau_s, double delay_s) {
  const SampledLag lag = sampled_lag(tau_s, delay_s, r.dt_s);
  double x = 0;
  FitSums sums;
  for (std::size_t k = 0; k < r.u.size(); ++k) {
    if (k > 0) {
      const double newer = past(r, k - 1, lag.whole) - r.u[0];
      const double older = past(r, k - 1, lag.whole + 1) - r.u[0];
      x = lag.keep * x + lag.older * older + lag.newer * newer;
    }
    sums.take(x, r.y[k] - r.y[0], static_cast<double>(k) * r.dt_s);
  }
  return sums.solved();
}

struct FitPoint {
  double log_tau = 0;
  double delay_s = 0;
  double left = 0;
  bool found = false;
};

void try_point(const FitRecord& r, const FitRange& range, double log_tau, double delay_s, FitPoint& best) {
  const double tau = std::exp(log_tau);
  if (tau < range.least_tau_s || tau > range.most_tau_s || delay_s < 0 || delay_s > range.most_delay_s)
    return;
  const LinearFit fit = linear_at(r, tau, delay_s);
  if (fit.sound && (!best.found || fit.left < best.left)) best = {log_tau, delay_s, fit.left, true};
}

/// Coarse grid, then a search about its best that halves its steps where none of them helps.
FitPoint search(const FitRecord& r, const FitRange& range) {
  FitPoint best;
  const double low = std::log(range.least_tau_s);
  double tau_step = (std::log(range.most_tau_s) - low) / (kFitGrid - 1);
  double delay_step = range.most_delay_s / (kFitGrid - 1);
  for (int i = 0; i < kFitGrid; ++i)
    for (int k = 0; k < kFitGrid; ++k) try_point(r, range, low + i * tau_step, k * delay_step, best);
  for (int round = 0; best.found && round < kRefinements;) {
    const FitPoint before = best;
    for (const double i : {-1.0, 0.0, 1.0})
      for (const double k : {-1.0, 0.0, 1.0})
        try_point(r, range, before.log_tau + i * tau_step, before.delay_s + k * delay_step, best);
    if (best.left < before.left) continue;
    tau_step *= 0.5;
    delay_step *= 0.5;
    ++round;
  }
  return best;
}

double moved(std::span<const double> u) {
  const auto [low, high] = std::minmax_element(u.begin(), u.end());
  return *high - *low;
}

double variance(std::span<const double> y) {
  double mean = 0;
  for (const double v : y) mean += v / static_cast<double>(y.size());
  double sum = 0;
  for (const double v : y) sum += (v - mean) * (v - mean);
  return sum / static_cast<double>(y.size());
}

bool all_finite(std::span<const double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

}  // namespace

std::optional<FirstOrderFit> fit_first_order(std::span<const double> demand,
                                             std::span<const double> pressure_pa, double dt_s,
                                             const FitRange& range) noexcept {
  const bool usable = demand.size() == pressure_pa.size() && demand.size() >= kFewest && dt_s > 0 &&
                      all_finite(demand) && all_finite(pressure_pa);
  if (!usable || moved(demand) < kLeastMove) return std::nullopt;
  const FitRecord record{demand, pressure_pa, dt_s};
  const FitPoint best = search(record, range);
  if (!best.found) return std::nullopt;
  const double tau = std::exp(best.log_tau);
  const double all = variance(pressure_pa);
  const double left = best.left / static_cast<double>(demand.size());
  FirstOrderFit out;
  out.model = {.gain = linear_at(record, tau, best.delay_s).gain, .tau_s = tau, .delay_s = best.delay_s};
  out.residual_pa = std::sqrt(left);
  out.explained_frac = all > 0 ? 1 - left / all : 0;
  return out;
}

}  // namespace leeward::control
