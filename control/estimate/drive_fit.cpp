#include "control/estimate/drive_fit.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "control/estimate/drive_run_through.hpp"
#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

constexpr std::size_t kFewest = 50;  // readings
constexpr double kLeastMove = 1.0;   // Pa
constexpr double kMostMisfit = 4;
constexpr int kMostRounds = 40;
constexpr double kBeside = 0.006;  // of demand
constexpr double kUsualLeastSpeed = 0.03;
// Fan and house are not quite what the equations take them for: what this adds to the uncertainties, as found
// on random houses (sim/campaign's, seeds from 900000 on).
constexpr double kSlewModelU = 0.025;  // relative, as the next four
constexpr double kLagModelU = 0.015;
constexpr double kGaugeModelU = 0.06;
constexpr double kTubeModelU = 0.07;
constexpr double kScaleModelU = 0.018;
constexpr double kOffsetModelU = 0.0012;

struct Believed {
  Guess mean;
  Guess sd;
};

/// Before anything was read. The widths hold every drive that is met (common practice, no source).
Believed believed(std::span<const DriveReading> r, const PlantModel& m, const FanMap& map, double volume_m3) {
  const bool told = volume_m3 > 0;
  Believed b;
  b.mean << std::log(m.drive_slew_s), std::log(m.drive_lag_s), std::log(m.gauge_lag_s),
      std::log(m.signal_lag_s), map.pair.a, std::log(std::clamp(map.pair.b, 0.5, 2.0)), -2, 0.65,
      ln_storage(volume_m3, kUsualGive), 0, r[0].pressure_pa, 0.02, 0;
  b.sd << 0.3, 0.6, 0.4, 0.4, 0.02, 0.06, 3, 0.1, told ? 0.35 : 0.9, 0.2, 0.5, 0.02, 0.5;
  return b;
}

double cost_of(const Residuals& r) {
  double sum = 0;
  for (const double v : r.pressure) sum += v * v;
  for (const double v : r.signal) sum += v * v;
  return std::isfinite(sum) ? sum : 1e300;
}

Guess kept_sane(Guess g) {
  const auto keep = [&](int i, double low, double high) { g[i] = std::clamp(g[i], low, high); };
  keep(kSlewAt, std::log(kSlewRange.low), std::log(kSlewRange.high));
  keep(kLagAt, std::log(kDriveLagRange.low), std::log(kDriveLagRange.high));
  keep(kGaugeAt, std::log(kGaugeLagRange.low), std::log(kGaugeLagRange.high));
  keep(kTubeAt, std::log(kGaugeLagRange.low), std::log(kGaugeLagRange.high));
  keep(kOffsetAt, kOffsetRange.low, kOffsetRange.high);
  keep(kScaleAt, std::log(kScaleRange.low), std::log(kScaleRange.high));
  keep(kLevelAt, -12, 6);
  keep(kExponentAt, 0.45, 1);
  keep(kStorageAt, -12, 3);
  keep(kLeastSpeedAt, 0, 0.15);
  return g;
}

/// Gauss and Newton's steps, shortened as Levenberg and Marquardt do where a step would lead uphill.
class Search {
 public:
  Search(std::span<const DriveReading> readings, const PlantModel& model, const Believed& before)
      : readings_(readings), model_(model), before_(before), at_(before.mean) {
    for (Residuals* r : {&now_, &moved_}) {
      r->pressure.resize(readings.size());
      r->signal.resize(readings.size());
    }
    pressure_slopes_.resize(static_cast<Eigen::Index>(readings.size()), kSought);
    signal_slopes_.resize(static_cast<Eigen::Index>(readings.size()), kSought);
  }

  int run(Guess from) {
    at_ = kept_sane(from);
    run_through(readings_, model_, at_, now_);
    cost_ = cost_of(now_) + belief(at_);
    double damping = 1e-2;
    int round = 0;
    for (; round < kMostRounds; ++round) {
      linearize();
      const double last = cost_;
      while (!step(damping) && damping < 1e8) damping *= 5;
      damping = std::max(1e-7, damping / 10);
      if (last - cost_ < 1e-3) break;
    }
    linearize();
    return round;
  }

  [[nodiscard]] const Guess& at() const { return at_; }
  [[nodiscard]] double cost() const { return cost_; }
  [[nodiscard]] const Residuals& residuals() const { return now_; }
  /// Of the estimate, for readings whose errors are what they are taken for, times a factor else.
  [[nodiscard]] Normal covariance(double factor) const {
    Normal n = slopes_squared_ / factor;
    for (int i = 0; i < kSought; ++i) n(i, i) += 1 / (before_.sd[i] * before_.sd[i]);
    return n.ldlt().solve(Normal::Identity());
  }

 private:
  [[nodiscard]] double belief(const Guess& g) const {
    return ((g - before_.mean).array() / before_.sd.array()).square().sum();
  }
  void linearize() {
    for (int i = 0; i < kSought; ++i) {
      Guess other = at_;
      const double by = 1e-4 * std::max(0.1, before_.sd[i]);
      other[i] += by;
      run_through(readings_, model_, other, moved_);
      for (std::size_t k = 0; k < readings_.size(); ++k) {
        const auto row = static_cast<Eigen::Index>(k);
        pressure_slopes_(row, i) = (moved_.pressure[k] - now_.pressure[k]) / by;
        signal_slopes_(row, i) = (moved_.signal[k] - now_.signal[k]) / by;
      }
    }
    slopes_squared_ =
        pressure_slopes_.transpose() * pressure_slopes_ + signal_slopes_.transpose() * signal_slopes_;
    const auto n = static_cast<Eigen::Index>(readings_.size());
    pull_ = pressure_slopes_.transpose() * Eigen::Map<const Eigen::VectorXd>(now_.pressure.data(), n) +
            signal_slopes_.transpose() * Eigen::Map<const Eigen::VectorXd>(now_.signal.data(), n);
  }
  bool step(double damping) {
    Normal n = slopes_squared_;
    Guess pull = pull_;
    for (int i = 0; i < kSought; ++i) {
      const double weight = 1 / (before_.sd[i] * before_.sd[i]);
      n(i, i) += weight;
      n(i, i) *= 1 + damping;
      pull[i] += weight * (at_[i] - before_.mean[i]);
    }
    const Guess next = kept_sane(at_ - n.ldlt().solve(pull));
    if (!next.allFinite()) return false;
    run_through(readings_, model_, next, moved_);
    const double cost = cost_of(moved_) + belief(next);
    if (!(cost < cost_)) return false;
    at_ = next;
    cost_ = cost;
    std::swap(now_, moved_);
    return true;
  }

  std::span<const DriveReading> readings_;
  const PlantModel& model_;
  const Believed& before_;
  Guess at_;
  double cost_ = 0;
  Residuals now_;
  Residuals moved_;
  Eigen::Matrix<double, Eigen::Dynamic, kSought> pressure_slopes_;
  Eigen::Matrix<double, Eigen::Dynamic, kSought> signal_slopes_;
  Normal slopes_squared_;
  Guess pull_;
};

/// How many times more an error weighs whose neighbours in time share it.
double shared_weight(const std::vector<double>& residuals) {
  double own = 1e-12;
  double shared = 0;
  for (std::size_t k = 1; k < residuals.size(); ++k) {
    own += residuals[k] * residuals[k];
    shared += residuals[k] * residuals[k - 1];
  }
  const double r = std::clamp(shared / own, 0.0, 0.95);
  return (1 + r) / (1 - r);
}

double rms(const Residuals& r) { return std::sqrt(cost_of(r) / static_cast<double>(2 * r.pressure.size())); }

double least_kept(std::span<const DriveReading> readings) {
  double least = 1;
  for (const DriveReading& r : readings)
    if (r.demand_frac > 0) least = std::min(least, r.demand_frac);
  return least;
}

/// Whether and how fast the least demand of the experiment turned the wheel makes valleys: the deepest
/// counts.
int run_from_all(Search& search, const Guess& from, double least_frac) {
  struct Start {
    double offset_frac;
    double least_speed;
  };
  const Start starts[] = {{from[kOffsetAt], from[kLeastSpeedAt]},
                          {least_frac - kBeside, kUsualLeastSpeed},
                          {least_frac + kBeside, kUsualLeastSpeed}};
  int rounds = 0;
  Guess best = from;
  double best_cost = 1e300;
  for (const Start& start : starts) {
    Guess at = from;
    at[kOffsetAt] = std::max(0.0, start.offset_frac);
    at[kLeastSpeedAt] = start.least_speed;
    rounds += search.run(at);
    if (search.cost() < best_cost) {
      best_cost = search.cost();
      best = search.at();
    }
  }
  if (search.cost() > best_cost) rounds += search.run(best);
  return rounds;
}

bool usable(const DriveReading& r) {
  return std::isfinite(r.dt_s) && r.dt_s > 0 && r.dt_s < 2 && std::isfinite(r.demand_frac) &&
         std::isfinite(r.pressure_pa) && std::isfinite(r.signal_pa);
}

FoundFigure of_logarithm(double ln, double u) { return {std::exp(ln), std::exp(ln) * u}; }

void state_figures(const Search& search, const Believed& before, DriveFit& fit) {
  const double factor =
      std::max(1.0, fit.misfit * fit.misfit) *
      std::max(shared_weight(search.residuals().pressure), shared_weight(search.residuals().signal));
  const Normal c = search.covariance(factor);
  const auto u = [&](int i, double model_u = 0) {
    return std::sqrt(std::max(0.0, c(i, i)) + model_u * model_u);
  };
  const Guess& g = search.at();
  DriveFound& f = fit.found;
  f.slew_s = of_logarithm(g[kSlewAt], u(kSlewAt, kSlewModelU));
  f.lag_s = of_logarithm(g[kLagAt], u(kLagAt, kLagModelU));
  f.sensor_lag_s = of_logarithm(g[kGaugeAt], u(kGaugeAt, kGaugeModelU));
  f.signal_lag_s = of_logarithm(g[kTubeAt], u(kTubeAt, kTubeModelU));
  f.offset_frac = {g[kOffsetAt], u(kOffsetAt, kOffsetModelU)};
  f.scale = of_logarithm(g[kScaleAt], u(kScaleAt, kScaleModelU));
  fit.level = {g[kLevelAt], u(kLevelAt)};
  fit.exponent = {g[kExponentAt], u(kExponentAt)};
  fit.storage = {g[kStorageAt], u(kStorageAt)};
  double told = 0;
  for (const Sought i : {kSlewAt, kLagAt, kGaugeAt, kTubeAt}) told += std::min(1.0, u(i) / before.sd[i]);
  fit.quality = std::clamp(1 - told / 4, 0.0, 1.0);
}

}  // namespace

DriveFit fit_drive(std::span<const DriveReading> readings, const PlantModel& model, const FanMap& map,
                   double volume_m3) {
  DriveFit fit;
  std::vector<DriveReading> used(readings.begin(), readings.end());
  std::erase_if(used, [](const DriveReading& r) { return !usable(r); });
  if (used.size() < kFewest) return fit;
  for (const DriveReading& r : used) {
    fit.highest_pa = std::max(fit.highest_pa, r.pressure_pa);
    fit.highest_signal_pa = std::max(fit.highest_signal_pa, r.signal_pa);
  }
  fit.end = DriveFitEnd::nothing_moved;
  if (fit.highest_pa < kLeastMove || fit.highest_signal_pa < kLeastMove) return fit;
  const Believed before = believed(used, model, map, volume_m3);
  Guess from = before.mean;
  from[kLevelAt] = std::log(std::max(1e-4, flow_m3_s(*model.restriction, fit.highest_signal_pa))) +
                   from[kExponentAt] * std::log(kPlantPivotPa / fit.highest_pa);
  Search search(used, model, before);
  fit.rounds = run_from_all(search, from, least_kept(used));
  fit.misfit = rms(search.residuals());
  fit.end = fit.misfit < kMostMisfit ? DriveFitEnd::good : DriveFitEnd::no_fit;
  state_figures(search, before, fit);
  fit.found.known = fit.end == DriveFitEnd::good && plausible(fit.found);
  if (fit.end == DriveFitEnd::good && !fit.found.known) fit.end = DriveFitEnd::no_fit;
  return fit;
}

}  // namespace leeward::control
