#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/gust_estimate.hpp"
#include "control/analysis/joint_model.hpp"
#include "control/analysis/signal_drift.hpp"
#include "control/seconds_between.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

// The search for changes is linear in their size. What is as large as a good part of the leaks is told apart
// here by the means of the stations and by curves as they are.
constexpr double kSharpExponent = 0.5;
constexpr double kLargeN = 0.65;
constexpr double kLargeNU = 0.06;
constexpr std::array kExponents{0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8};
constexpr double kLargeStationU = 0.012;     // ln, of a flow beside gusts and gauge
constexpr double kLargeSignalU = 0.1;        // Pa
constexpr double kLargeZeroU = 0.3;          // Pa
constexpr double kClosingU = 0.3;            // of the shift by a fan: wind and stack on the leaks
constexpr double kLeastLargeInduced = 2;     // Pa
constexpr double kLeastLargeSignal = 1;      // Pa: less only says that the flow is small
constexpr double kLeastStep = 0.12;          // ln of the flow, below which nothing is large
constexpr double kLeastGain = 45;            // of chi-square, by which a change must be better than none
constexpr double kWorthALook = 2;            // times the best chi-square so far
constexpr double kMostLeft = 0.15;           // of it, that the change may leave
constexpr double kMostLeftEach = 4;          // ... beside so much a station
constexpr double kLeastLargeOpening = 0.18;  // of the leaks
constexpr double kLeastLargeAmount = 0.12;   // of the flow at 50 Pa
constexpr double kLeastLargeShift = 4;       // Pa
// What makes an explanation unlikely beforehand, in chi-square: twice the ln that the search for changes has.
constexpr double kUnlikelyShut = 6;
constexpr double kUnlikelyStop = 8;
constexpr double kUnlikelyShift = 2;

enum class LargeKind : std::uint8_t { opening, fan, shift };

struct LargePoint {
  std::size_t station = 0;
  double pa = 0;
  double ln_q = 0;
  double weight = 0;
  double ln_pa = 0;
  double at_large_n = 0;  ///< pa to the power of kLargeN
  double root_pa = 0;
  [[nodiscard]] double power(double n) const { return n == kLargeN ? at_large_n : std::exp(n * ln_pa); }
};
using LargePoints = FixedVector<LargePoint, kMaxStations>;
/// The points before the first of `from` are as the house was prepared, those from `to` on changed; one
/// between them may be mixed.
struct Split {
  std::size_t from = 0;
  std::size_t to = 0;
};

struct LargeChange {
  double chi2 = 1e300;  ///< with what makes it unlikely
  LargeKind kind = LargeKind::opening;
  Split split;
  double n = kLargeN;
  double ln_c = 0;
  double x = 0;  ///< over C: area-like, flow, or Pa
};

struct LargeSeen {
  LargePoints points;
  Direction direction = Direction::depressurize;
  bool has_closing = false;
  double closing_pa = 0;  ///< shift of the zero-flow reading along the direction
  double closing_u_pa = 0;
};

double sure_zero_u(const BaselineRecord& b) {
  return mean_sd_pa(gusts_in(b.blocks, b.sd_pa), seconds_between(b.begin_ns, b.end_ns));
}

LargeSeen large_seen(const DirectionRecord& d) {
  LargeSeen out;
  out.direction = d.direction;
  const GustProcess gusts = gusts_in(d.before.blocks, d.before.sd_pa);
  const double zero = along(d.direction, d.before.mean_pa);
  for (std::size_t i = 0; i < d.stations.size(); ++i) {
    const StationRecord& s = d.stations[i];
    const double pa = along(d.direction, s.pressure_mean_pa) - zero;
    if (!s.usable() || !(s.flow_mean_m3_s > 0) || pa < kLeastLargeInduced ||
        s.signal_mean_pa < kLeastLargeSignal)
      continue;
    const double gust_pa = mean_sd_pa(gusts, seconds_between(s.begin_ns, s.end_ns));
    const double u = std::hypot(kLargeStationU, kLargeN * std::hypot(gust_pa, sure_zero_u(d.before)) / pa,
                                kMeterExponent * kLargeSignalU / std::max(kLargeSignalU, s.signal_mean_pa));
    out.points.push_back(
        {i, pa, std::log(s.flow_mean_m3_s), 1 / (u * u), std::log(pa), std::pow(pa, kLargeN), std::sqrt(pa)});
  }
  out.has_closing = d.before.taken && d.after.taken;
  out.closing_pa = along(d.direction, d.after.mean_pa) - zero;
  out.closing_u_pa = std::hypot(kLargeZeroU, sure_zero_u(d.before), sure_zero_u(d.after));
  return out;
}

/// Flow over C of a point after the change; not above 0 where there would be none.
double changed_flow(LargeKind kind, const LargePoint& p, double n, double x) {
  if (kind == LargeKind::shift) return p.pa > x ? std::pow(p.pa - x, n) : 0;
  return p.power(n) + (kind == LargeKind::fan ? x : x * p.root_pa);
}

double closing_chi2(const LargeSeen& seen, LargeKind kind, double n, double x) {
  if (!seen.has_closing) return 0;
  double expected = 0;
  if (kind == LargeKind::shift) expected = x;
  if (kind == LargeKind::fan) expected = -std::copysign(std::pow(std::abs(x), 1 / n), x);
  const double sure_pa = std::min(std::abs(expected), std::abs(seen.closing_pa));
  const double u = std::hypot(seen.closing_u_pa, kind == LargeKind::fan ? kClosingU * sure_pa : 0);
  return std::pow((seen.closing_pa - expected) / u, 2);
}

double unlikely(LargeKind kind, Direction direction, double x) {
  if (kind == LargeKind::shift) return kUnlikelyShift;
  if (kind == LargeKind::opening) return x > 0 ? 0 : kUnlikelyShut;
  return (x > 0) == (direction == Direction::pressurize) ? 0 : kUnlikelyStop;
}

/// The curve that fits best given the change, by its level alone.
LargeChange fitted(const LargeSeen& seen, LargeKind kind, const Split& split, double n, double x) {
  std::array<double, kMaxStations> off{};
  double sum = 0;
  double weight = 0;
  for (std::size_t i = 0; i < seen.points.size(); ++i) {
    const LargePoint& p = seen.points[i];
    if (i >= split.from && i < split.to) continue;
    const double flow = i < split.from ? p.power(n) : changed_flow(kind, p, n, x);
    if (!(flow > 0)) return {};
    off[i] = p.ln_q - std::log(flow);
    sum += p.weight * off[i];
    weight += p.weight;
  }
  LargeChange out{0, kind, split, n, weight > 0 ? sum / weight : 0, x};
  for (std::size_t i = 0; i < seen.points.size(); ++i)
    if (i < split.from || i >= split.to) out.chi2 += seen.points[i].weight * std::pow(off[i] - out.ln_c, 2);
  out.chi2 += std::pow((n - kLargeN) / kLargeNU, 2) + closing_chi2(seen, kind, n, x);
  if (x != 0) out.chi2 += unlikely(kind, seen.direction, x);
  return out;
}

/// How far the stations from one on lie apart from those before, on a curve of the usual exponent: at most.
double largest_step(const LargeSeen& seen) {
  double most = 0;
  for (std::size_t k = 1; k < seen.points.size(); ++k) {
    std::array<double, 2> sum{};
    for (std::size_t i = 0; i < seen.points.size(); ++i)
      sum[i >= k] += seen.points[i].ln_q - kLargeN * std::log(seen.points[i].pa);
    const double after = static_cast<double>(seen.points.size() - k);
    most = std::max(most, std::abs(sum[1] / after - sum[0] / static_cast<double>(k)));
  }
  return most;
}

/// Without a change.
LargeChange unchanged(const LargeSeen& seen) {
  LargeChange best;
  const Split whole{seen.points.size(), seen.points.size()};
  for (const double n : kExponents) {
    const LargeChange c = fitted(seen, LargeKind::opening, whole, n, 0);
    if (c.chi2 < best.chi2) best = c;
  }
  return best;
}

/// To the best there is nearby, in steps of the size from `first` down to `last`.
void refine(const LargeSeen& seen, LargeChange& best, double first, double last) {
  for (double step = first; step > last; step *= 0.5) {
    const LargeChange from = best;
    for (const auto& [n, x] : {std::pair{0.0, step}, {0.0, -step}, {0.2 * step, 0.0}, {-0.2 * step, 0.0}}) {
      const LargeChange c = fitted(seen, from.kind, from.split, from.n + n, from.x * (1 + x));
      if (c.chi2 < best.chi2) best = c;
    }
  }
}

/// Sizes over C, from small to many times the leaks, then the best of them more closely.
/// @param worth  a chi-square above which the coarse look is enough
LargeChange best_size(const LargeSeen& seen, LargeKind kind, const Split& split, double worth) {
  const double unit = kind == LargeKind::opening ? std::pow(33.0, kLargeN - kSharpExponent)
                      : kind == LargeKind::fan   ? std::pow(50.0, kLargeN)
                                                 : 30.0;
  constexpr int sizes = 10;
  LargeChange best;
  for (int i = 0; i < sizes; ++i) {
    const double size = unit * 0.1 * std::pow(1.7, i);
    const bool may_shrink = kind == LargeKind::shift || size < unit;
    for (const double x : {size, -size}) {
      if (x < 0 && !may_shrink) continue;
      const LargeChange c = fitted(seen, kind, split, kLargeN, x);
      if (c.chi2 < best.chi2) best = c;
    }
  }
  if (best.x != 0 && best.chi2 < worth) refine(seen, best, 0.3, 0.05);
  return best;
}

/// The best place and size of each kind.
std::array<LargeChange, 3> best_changes(const LargeSeen& seen) {
  std::array<LargeChange, 3> out;
  for (std::size_t from = 1; from < seen.points.size(); ++from)
    for (const std::size_t to : {from, from + 1})
      if (to < seen.points.size())
        for (std::size_t k = 0; k < out.size(); ++k)
          if (const LargeChange c = best_size(seen, static_cast<LargeKind>(k), {from, to},
                                              kWorthALook * (out[k].chi2 + kLeastGain));
              c.chi2 < out[k].chi2)
            out[k] = c;
  for (LargeChange& c : out) {
    if (c.x == 0) continue;
    refine(seen, c, 0.1, 0.01);
    refine(seen, c, 0.1, 0.002);
  }
  return out;
}

bool is_large(const LargeChange& c) {
  const double size = std::abs(c.x);
  switch (c.kind) {
    case LargeKind::opening:
      return size * std::pow(33.0, kSharpExponent - c.n) >= kLeastLargeOpening;
    case LargeKind::fan:
      return size >= kLeastLargeAmount * std::pow(50.0, c.n);
    default:
      return size >= kLeastLargeShift;
  }
}

Finding large_finding(const DirectionRecord& d, const LargeSeen& seen, const LargeChange& c,
                      double sureness) {
  const auto station = seen.points[c.split.from].station;
  Finding f{.grade = grade_of(sureness),
            .sureness = sureness,
            .station = static_cast<int>(station),
            .from_ns = d.stations[station].begin_ns};
  switch (c.kind) {
    case LargeKind::opening:
      f.kind = FindingKind::opening;
      f.size = c.x * std::pow(33.0, kSharpExponent - c.n);
      break;
    case LargeKind::fan:
      f.kind = FindingKind::exhaust_fan;
      f.size = sign_of(d.direction) * c.x * std::exp(c.ln_c);
      break;
    default:
      f.kind = FindingKind::zero_flow_drift;
      f.size = sign_of(d.direction) * c.x;
  }
  return f;
}

LargeCandidate large_candidate(const DirectionRecord& d, int index) {
  const LargeSeen seen = large_seen(d);
  if (seen.points.size() < 3 || largest_step(seen) < kLeastStep) return {};
  const LargeChange none = unchanged(seen);
  if (none.chi2 < kLeastGain) return {};
  const std::array<LargeChange, 3> kinds = best_changes(seen);
  const LargeChange best = *std::min_element(kinds.begin(), kinds.end(),
                                             [](const auto& a, const auto& b) { return a.chi2 < b.chi2; });
  const double may_leave = kMostLeft * none.chi2 + kMostLeftEach * static_cast<double>(seen.points.size());
  if (none.chi2 - best.chi2 < kLeastGain || best.chi2 > may_leave || !is_large(best)) return {};
  double others = 0;
  for (const LargeChange& c : kinds) others += std::exp(0.5 * (best.chi2 - c.chi2));
  LargeCandidate out{.found = true, .finding = large_finding(d, seen, best, 1 / others)};
  out.finding.direction = index;
  out.backed_by_closing =
      best.kind != LargeKind::opening && closing_chi2(seen, best.kind, best.n, 0) >= kLeastGain;
  return out;
}

}  // namespace

LargeCandidates large_candidates(const RunRecord& record) noexcept {
  LargeCandidates out;
  for (std::size_t i = 0; i < record.directions.size(); ++i) {
    const DirectionRecord d = without_signal_drift(record.directions[i]);
    if (d.before.taken) out[i] = large_candidate(d, static_cast<int>(i));
  }
  return out;
}

void find_large_changes(const LargeCandidates& candidates, bool backed_by_closing, Findings& out) noexcept {
  for (const LargeCandidate& c : candidates) {
    const int index = c.finding.direction;
    if (!c.found || (backed_by_closing && !c.backed_by_closing) || has_change(out, index) ||
        has_finding(out, FindingKind::wrong_restriction, index) ||
        has_finding(out, FindingKind::tubes_swapped, index))
      continue;
    out.push_back(c.finding);
  }
}

}  // namespace leeward::control
