#include "control/analysis/joint_fit.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "control/analysis/gust_grid.hpp"
#include "control/analysis/log_log_fit.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

constexpr double kReadingNoise = 0.104;  // Pa: noise and resolution of 0.1 Pa each (common practice)
constexpr double kCalmGusts = 0.02;      // Pa: in calm air the grid begins at the least gusts

GustProcess likeliest(const JointModel& model, const JointPoint& at, double size_pa) {
  GustProcess best{size_pa, kLikelyGustTime};
  double most = -std::numeric_limits<double>::infinity();
  JointRows rows;
  joint_rows(model, at, rows);
  for (int i = 0; i < kGustGrid; ++i) {
    const GustProcess gusts = gust_grid_point(size_pa, i);
    const JointPosterior post = joint_posterior(model, rows, at, gusts);
    if (!post.ok || post.ln_weight <= most) continue;
    most = post.ln_weight;
    best = gusts;
  }
  return best;
}

std::optional<JointPoint> first_curve(const JointModel& p) {
  const DirectionRecord& r = p.record;
  std::array<double, kMaxStations> pressure{}, flow{};
  std::size_t count = 0;
  const double zero = plain_zero_pa(r);
  for (const StationRecord& s : r.stations) {
    const double induced = along(r.direction, s.pressure_mean_pa) - zero;
    if (!s.usable() || !(induced > 0)) continue;
    pressure[count] = induced;
    flow[count++] = s.flow_mean_m3_s * p.flow_factor;
  }
  if (count == 0) return std::nullopt;
  JointPoint start{0, p.exponent.n};
  if (count >= 3) {
    const LineFit line = fit_log_log({pressure.data(), count}, {flow.data(), count});
    if (line.ok) start.n = std::clamp(line.slope, 0.45, 1.0);
  }
  for (std::size_t i = 0; i < count; ++i)
    start.ln_q += (std::log(flow[i]) - start.n * (std::log(pressure[i]) - kLnMiddlePressure)) /
                  static_cast<double>(count);
  return start;
}

/// What the zero-flow pressure varies by beyond a reading's own noise.
double size_of_gusts(const DirectionRecord& r) {
  const double after = r.after.taken ? r.after.sd_pa : r.before.sd_pa;
  const double seen_pa2 = 0.5 * (r.before.sd_pa * r.before.sd_pa + after * after);
  return std::max(kCalmGusts, std::sqrt(std::max(0.0, seen_pa2 - kReadingNoise * kReadingNoise)));
}

/// Sums over the grid.
struct Mixture {
  double weight = 0;
  double ln_c = 0, n = 0, zero = 0;
  Covariance total, squares;
  double variance = 0, variance_squared = 0;  ///< of the flow at 50 Pa
  CurveUncertainty u;
};

void add_effect(Effect& to, double weight, double ln_c, double n) {
  to.ln_c += weight * ln_c;
  to.n += weight * n;
}

/// Columns that say where the zero-flow pressure of each part stood.
struct ZeroColumns {
  std::array<int, kZeroFlowCauses> column{};
  std::size_t count = 1;
};

ZeroColumns zero_columns(const DirectionRecord& record) {
  ZeroColumns out{{kZero}, 1 + record.kept.size()};
  for (std::size_t part = 1; part < out.count; ++part) out.column[part] = kept_column(static_cast<int>(part));
  return out;
}

/// One effect a part: each takes what those before it have left unexplained, so that their squares add up to
/// all that the zero-flow pressures do together.
void add_zero_effects(Mixture& m, GustNormal v, const ZeroColumns& zeros, double weight) {
  for (std::size_t i = 0; i < zeros.count; ++i) {
    const int k = zeros.column[i];
    const double u = std::sqrt(std::max(0.0, v(k, k)));
    if (!(u > 0)) continue;
    add_effect(m.u.baseline[i], weight, v(kLnQ, k) / u, v(kN, k) / u);
    if (i + 1 == zeros.count) break;
    const GustRow column = v.col(k);
    v -= column * column.transpose() / column[k];
  }
}

void add_posterior(Mixture& m, const JointPosterior& post, const ScaleSlots& slots, const ZeroColumns& zeros,
                   double weight) {
  const GustNormal& v = post.covariance;
  const double a = post.mean[kLnQ];
  const double b = post.mean[kN];
  m.weight += weight;
  m.ln_c += weight * a;
  m.n += weight * b;
  m.zero += weight * post.mean[kZero];
  m.total.cc += weight * v(kLnQ, kLnQ);
  m.total.cn += weight * v(kLnQ, kN);
  m.total.nn += weight * v(kN, kN);
  m.squares.cc += weight * a * a;
  m.squares.cn += weight * a * b;
  m.squares.nn += weight * b * b;
  const LinearForm at50{1, std::log(50.0) - kLnMiddlePressure};
  const double variance = Covariance{v(kLnQ, kLnQ), v(kLnQ, kN), v(kN, kN)}.of(at50);
  m.variance += weight * variance;
  m.variance_squared += weight * variance * variance;
  add_zero_effects(m, v, zeros, weight);
  const auto by_prior = [&](Effect& to, int k) {
    add_effect(to, weight, -v(kLnQ, k) / post.prior_u[k], -v(kN, k) / post.prior_u[k]);
  };
  by_prior(m.u.wind[0], kLoad);
  by_prior(m.u.wind[1], kSpread);
  add_effect(m.u.exponent, weight, v(kLnQ, kN) / post.prior_u[kN], v(kN, kN) / post.prior_u[kN]);
  for (int i = 0; i < kScales; ++i) {
    const int restriction = slots[static_cast<std::size_t>(i)];
    if (restriction < 0 || restriction >= static_cast<int>(kMaxRestrictions)) continue;
    by_prior(m.u.calibration[static_cast<std::size_t>(restriction)], kScale + i);
  }
}

void take_off(Covariance& c, const Effect& e) {
  c.cc -= e.ln_c * e.ln_c;
  c.cn -= e.ln_c * e.n;
  c.nn -= e.n * e.n;
}

/// What no other cause explains is scatter.
void set_scatter(Mixture& m) {
  Covariance rest = m.total;
  rest.cc += std::max(0.0, m.squares.cc - m.ln_c * m.ln_c);
  rest.cn += m.squares.cn - m.ln_c * m.n;
  rest.nn += std::max(0.0, m.squares.nn - m.n * m.n);
  for (const Effect& e : m.u.baseline) take_off(rest, e);
  for (const Effect& e : m.u.wind) take_off(rest, e);
  for (const Effect& e : m.u.calibration) take_off(rest, e);
  take_off(rest, m.u.exponent);
  rest.cc = std::max(0.0, rest.cc);
  rest.nn = std::max(0.0, rest.nn);
  m.u.scatter = {.stated = rest};
  const double spread = m.variance_squared - m.variance * m.variance;
  m.u.gust_freedom =
      spread > 0 ? 4 + 2 * m.variance * m.variance / spread : std::numeric_limits<double>::infinity();
}

void scale_by(Mixture& m, double f) {
  for (double* v : {&m.ln_c, &m.n, &m.zero, &m.total.cc, &m.total.cn, &m.total.nn, &m.squares.cc,
                    &m.squares.cn, &m.squares.nn, &m.variance, &m.variance_squared})
    *v *= f;
  for (Effect& e : m.u.baseline) e = {e.ln_c * f, e.n * f};
  for (Effect* e : {&m.u.wind[0], &m.u.wind[1], &m.u.exponent}) *e = {e->ln_c * f, e->n * f};
  for (Effect& e : m.u.calibration) e = {e.ln_c * f, e.n * f};
}

Mixture mixture_over(const JointModel& model, const JointPoint& at, double size_pa, double reference) {
  Mixture m;
  JointRows rows;
  joint_rows(model, at, rows);
  const ScaleSlots slots = scale_slots(model.record);
  const ZeroColumns zeros = zero_columns(model.record);
  for (int i = 0; i < kGustGrid; ++i) {
    const JointPosterior post = joint_posterior(model, rows, at, gust_grid_point(size_pa, i));
    if (post.ok) add_posterior(m, post, slots, zeros, std::exp(post.ln_weight - reference));
  }
  if (m.weight > 0) scale_by(m, 1 / m.weight);
  return m;
}

}  // namespace

bool has_blocks(const DirectionRecord& record) noexcept {
  bool stations = false;
  for (const StationRecord& s : record.stations) stations = stations || s.usable();
  return record.before.taken && !record.before.blocks.means.empty() && stations;
}

JointFit joint_fit(const JointModel& model) noexcept {
  JointFit fit;
  std::optional<JointPoint> at = has_blocks(model.record) ? first_curve(model) : std::nullopt;
  if (!at) return fit;
  const double size = size_of_gusts(model.record);
  fit.gusts = likeliest(model, *at, size);
  double reference = 0;
  constexpr int rounds = 8;
  for (int round = 0; round < rounds; ++round) {
    JointRows rows;
    joint_rows(model, *at, rows);
    const JointPosterior post = joint_posterior(model, rows, *at, fit.gusts);
    if (!post.ok) return fit;
    at->ln_q += std::clamp(post.mean[kLnQ], -0.5, 0.5);
    at->n = std::clamp(at->n + std::clamp(post.mean[kN], -0.15, 0.15), 0.3, 1.3);
    reference = post.ln_weight;
  }
  Mixture m = mixture_over(model, *at, size, reference);
  if (!(m.weight > 0) || !std::isfinite(m.ln_c + m.n)) return fit;
  set_scatter(m);
  const double n = at->n + m.n;
  fit.curve = {at->ln_q + m.ln_c - n * kLnMiddlePressure, n,
               mapped(m.u, {.cc = 1, .cn = -kLnMiddlePressure, .nn = 1})};
  fit.at = *at;
  fit.zero_flow_pa = m.zero;
  fit.ok = true;
  return fit;
}

}  // namespace leeward::control
