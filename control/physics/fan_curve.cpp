#include "control/physics/fan_curve.hpp"

#include <cmath>

namespace leeward::control {

namespace {

double secant(const CurvePoint& a, const CurvePoint& b) {
  return (b.rise_pa - a.rise_pa) / (b.flow_m3_s - a.flow_m3_s);
}

/// Slope at b from its two neighbours: 0 at a turning point, else their weighted harmonic mean.
double inner_slope(const CurvePoint& a, const CurvePoint& b, const CurvePoint& c) {
  const double left = secant(a, b);
  const double right = secant(b, c);
  if (left * right <= 0) return 0;
  const double h_left = b.flow_m3_s - a.flow_m3_s;
  const double h_right = c.flow_m3_s - b.flow_m3_s;
  const double w_left = 2 * h_right + h_left;
  const double w_right = h_right + 2 * h_left;
  return (w_left + w_right) / (w_left / left + w_right / right);
}

/// Where rise() takes the wanted value between low and high, with rise(low) < wanted <= rise(high).
/// Source  regula falsi with the Illinois rule, Dowell and Jarratt 1971 (from memory); falls back on
///         halving, so that it always ends
template <class Rise>
double root_between(double low, double high, double wanted, Rise rise) {
  constexpr int most_steps = 60;
  double below = rise(low) - wanted;
  double above = rise(high) - wanted;
  int side = 0;
  for (int i = 0; i < most_steps && high - low > 1e-14 * std::abs(high); ++i) {
    const bool stuck = i >= most_steps / 2 || !(above > below);
    const double at = stuck ? 0.5 * (low + high) : (low * above - high * below) / (above - below);
    const double off = rise(at) - wanted;
    if (std::abs(off) <= 1e-13 * std::abs(wanted)) return at;
    if (off < 0) {
      low = at;
      below = off;
      if (side < 0) above *= 0.5;
      side = -1;
    } else {
      high = at;
      above = off;
      if (side > 0) below *= 0.5;
      side = 1;
    }
  }
  return 0.5 * (low + high);
}

}  // namespace

Result<FanCurve> FanCurve::make(const FixedVector<CurvePoint, kMaxCurvePoints>& points) {
  const auto refuse = [](const char* allowed) {
    return tl::make_unexpected(Error{Errc::out_of_range, "curve_m3_s_pa", allowed});
  };
  if (points.size() < 2) return refuse("2 points or more");
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!std::isfinite(points[i].flow_m3_s) || !std::isfinite(points[i].rise_pa)) return refuse("finite");
    if (points[i].flow_m3_s < 0 || points[i].rise_pa < 0) return refuse("flows and rises of 0 or more");
    if (i > 0 && points[i].flow_m3_s <= points[i - 1].flow_m3_s) return refuse("flows ascending");
    if (i + 1 < points.size() && points[i].rise_pa <= points.back().rise_pa)
      return refuse("the last rise lower than all others");
  }
  FanCurve curve;
  curve.points_ = points;
  curve.set_slopes();
  curve.set_free_flow();
  return curve;
}

void FanCurve::set_slopes() noexcept {
  const std::size_t last = points_.size() - 1;
  // The end slopes are those of the end chords, so that the straight parts join smoothly; on the left
  // a rising chord would make the fan lose rise with reverse flow, so it is cut at level.
  slopes_pa_s_m3_[0] = std::fmin(0.0, secant(points_[0], points_[1]));
  slopes_pa_s_m3_[last] = secant(points_[last - 1], points_[last]);
  for (std::size_t i = 1; i < last; ++i)
    slopes_pa_s_m3_[i] = inner_slope(points_[i - 1], points_[i], points_[i + 1]);
}

void FanCurve::set_free_flow() noexcept {
  const std::size_t last = points_.size() - 1;
  free_flow_m3_s_ = points_[last].flow_m3_s - points_[last].rise_pa / slopes_pa_s_m3_[last];
}

FanCurve::Rise FanCurve::full_rise(double flow_m3_s) const noexcept {
  const auto straight = [&](std::size_t end) -> Rise {
    return {points_[end].rise_pa + slopes_pa_s_m3_[end] * (flow_m3_s - points_[end].flow_m3_s),
            slopes_pa_s_m3_[end]};
  };
  const std::size_t last = points_.size() - 1;
  if (flow_m3_s <= points_[0].flow_m3_s) return straight(0);
  if (!(flow_m3_s < points_[last].flow_m3_s)) return straight(last);
  std::size_t i = 0;
  while (flow_m3_s >= points_[i + 1].flow_m3_s) ++i;
  const double h = points_[i + 1].flow_m3_s - points_[i].flow_m3_s;
  const double t = (flow_m3_s - points_[i].flow_m3_s) / h;
  const double u = 1 - t;
  const double a = points_[i].rise_pa, b = points_[i + 1].rise_pa;
  const double da = slopes_pa_s_m3_[i], db = slopes_pa_s_m3_[i + 1];
  return {u * u * ((1 + 2 * t) * a + t * h * da) + t * t * ((1 + 2 * u) * b - u * h * db),
          6 * t * u * (b - a) / h + u * (1 - 3 * t) * da + t * (3 * t - 2) * db};
}

double FanCurve::full_rise_pa(double flow_m3_s) const noexcept { return full_rise(flow_m3_s).pa; }

double FanCurve::rise_pa(double demand_frac, double flow_m3_s) const noexcept {
  if (demand_frac <= 0) return 0;
  return demand_frac * demand_frac * full_rise_pa(flow_m3_s / demand_frac);
}

std::optional<double> demand_for(const FanCurve& curve, double flow_m3_s, double total_rise_pa,
                                 double max_demand_frac) noexcept {
  if (!std::isfinite(flow_m3_s) || !std::isfinite(total_rise_pa)) return std::nullopt;
  if (flow_m3_s <= 0 && total_rise_pa <= 0) return 0.0;
  if (curve.rise_pa(max_demand_frac, flow_m3_s) < total_rise_pa) return std::nullopt;
  const auto rise = [&](double demand_frac) { return curve.rise_pa(demand_frac, flow_m3_s); };
  // On the straight part past free delivery the rise falls with speed up to half of the speed of free
  // delivery and climbs from there on: only the climbing branch is an answer.
  const double turning = flow_m3_s > 0 ? 0.5 * flow_m3_s / curve.free_flow_m3_s() : 0.0;
  if (turning >= max_demand_frac || total_rise_pa <= rise(turning)) return 0.0;
  return root_between(turning, max_demand_frac, total_rise_pa, rise);
}

}  // namespace leeward::control
