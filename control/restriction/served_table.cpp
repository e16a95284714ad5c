#include "control/restriction/served_table.hpp"

#include <algorithm>
#include <cmath>

#include "control/restriction/reach.hpp"

namespace leeward::control {
namespace {

constexpr double kDemandKept = 0.98;   // of full demand: the rest is for the house to change in
constexpr double kFlowScatter = 0.01;  // relative, of a station's flow about the curve

struct Scatter {
  double level = 0;
  double slope = 0;
  double speed = 0;
  double flow = 0;
};

double fraction(double x) { return x - std::floor(x); }

/// Four standard normal variates that fill their space evenly over i.
/// Source  additive recurrence on powers of the root of x^5 = x + 1 (quasi-random, from memory), Box and
///         Muller 1958
Scatter scatter_of(std::size_t i) {
  constexpr double kRoot = 1.1673039782614187;
  const double n = static_cast<double>(i) + 0.5;
  const double u1 = fraction(0.5 + n / kRoot);
  const double u2 = fraction(0.5 + n / (kRoot * kRoot));
  const double u3 = fraction(0.5 + n / (kRoot * kRoot * kRoot));
  const double u4 = fraction(0.5 + n / (kRoot * kRoot * kRoot * kRoot));
  constexpr double kTurn = 2 * 3.14159265358979323846;
  const double r1 = std::sqrt(-2 * std::log(std::max(u1, 1e-6)));
  const double r2 = std::sqrt(-2 * std::log(std::max(u3, 1e-6)));
  return {r1 * std::sin(kTurn * u2), r1 * std::cos(kTurn * u2), r2 * std::sin(kTurn * u4),
          r2 * std::cos(kTurn * u4)};
}

/// ln of the flows that a restriction serves a station with, for each side of the speed's uncertainty.
struct Limits {
  double least = 0;
  double most = 0;
  double most_by_speed = 0;  ///< change of `most` over one standard uncertainty of the speed
};

using StationLimits = std::array<Limits, kMaxRestrictions>;

double ln_or_nothing(double flow) { return std::log(std::max(flow, 1e-9)); }

StationLimits limits_at(const RestrictionView& view, const TopSpeed& top, double pressure_pa) {
  StationLimits limits{};
  for (std::size_t k = 0; k < view.fan.restrictions.size(); ++k) {
    const RestrictionSpec& r = view.fan.restrictions[k];
    const auto most = [&](double speed) {
      return ln_or_nothing(most_flow_m3_s(r, view.curve, std::max(0.0, speed), pressure_pa));
    };
    const double high = most(top.speed_frac + top.u_frac);
    limits[k].least = ln_or_nothing(least_flow_m3_s(r));
    limits[k].most = most(top.speed_frac);
    // Downwards the flow may fall to nothing, which is no straight line any more: the way up says the slope.
    limits[k].most_by_speed = high - limits[k].most;
  }
  return limits;
}

struct Verdict {
  RestrictionSet served = 0;
  RestrictionSet suited = 0;
};

Verdict judge(const StationLimits& limits, std::size_t kinds, double ln_flow, double speed_off) {
  Verdict v;
  std::size_t nearest = 0;
  double least_short = 1e9;
  for (std::size_t k = 0; k < kinds; ++k) {
    const double most = limits[k].most + speed_off * limits[k].most_by_speed;
    const double off = std::max({0.0, limits[k].least - ln_flow, ln_flow - most});
    if (off <= 0) v.served = static_cast<RestrictionSet>(v.served | 1U << k);
    if (off < least_short) {
      least_short = off;
      nearest = k;
    }
  }
  v.suited = v.served != 0 ? v.served : static_cast<RestrictionSet>(1U << nearest);
  return v;
}

/// What the fitted one has shown outweighs the curves, as long as there is another to turn to.
void strike_out_fitted(const RestrictionView& view, ServedTable& table) {
  const auto bit = static_cast<RestrictionSet>(1U << view.fitted);
  for (Possibility& p : table.rows) {
    p.served[0] = static_cast<RestrictionSet>(p.served[0] & ~bit);
    const auto others = static_cast<RestrictionSet>(p.suited[0] & ~bit);
    if (others != 0) p.suited[0] = others;
  }
}

}  // namespace

HouseCurve possible_house(const HouseCurve& house, std::size_t i) noexcept {
  const Scatter z = scatter_of(i);
  const LinearPair& pair = house.pair;
  const double level_u = std::sqrt(std::max(0.0, pair.var_a));
  const double along_level = level_u > 0 ? pair.cov_ab / level_u : 0;
  const double across = std::sqrt(std::max(0.0, pair.var_b - along_level * along_level));
  HouseCurve one = house;
  one.pair.a += level_u * z.level;
  one.pair.b = std::clamp(pair.b + along_level * z.level + across * z.slope, 0.45, 1.05);
  return one;
}

ServedTable served_table(const RestrictionView& view, std::span<const double> stations_pa) noexcept {
  ServedTable table;
  table.stations = std::min(stations_pa.size(), kMaxStations);
  table.restrictions = view.fan.restrictions.size();
  table.possibilities = kPossibilities;
  const TopSpeed top = top_speed(view.map, view.fan.curve.size() >= 2, kDemandKept * view.demand_max_frac);
  const double fans_ln = std::log(static_cast<double>(std::max(1, view.fans)));
  for (std::size_t s = 0; s < table.stations; ++s) {
    const StationLimits limits = limits_at(view, top, stations_pa[s]);
    for (std::size_t i = 0; i < kPossibilities; ++i) {
      const Scatter z = scatter_of(i);
      const double flow = flow_at(possible_house(view.house, i), stations_pa[s]);
      const double ln_flow = ln_or_nothing(flow) - fans_ln + kFlowScatter * z.flow;
      const Verdict v = judge(limits, table.restrictions, ln_flow, z.speed);
      table.rows[i].served[s] = v.served;
      table.rows[i].suited[s] = v.suited;
    }
  }
  if (view.fitted_fails && table.stations > 0) strike_out_fitted(view, table);
  return table;
}

}  // namespace leeward::control
