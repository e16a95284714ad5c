#pragma once

#include <cmath>

#include "sim/fast_math.hpp"
#include "sim/zone.hpp"

namespace leeward::sim {

namespace relax_detail {

/// (1 - e^-z) / z
inline double mean_decay(double z) {
  if (z < 1e-5) return 1 - 0.5 * z;
  return (1 - fast_exp(-z)) / z;
}

/// Finds the change of pressure, where one straight slope is too coarse: the change dp that the step
/// makes with the slope of the chord over this very dp. As the step gets long the chord leads to the
/// balance itself, so that a house of any leakage neither overshoots nor oscillates.
template <class Balance>
double chord_change(double p0, double dt_s, double kg_pa, const Outflow& at_p0, double guess,
                    Balance& balance) {
  const double way = at_p0.kg_s < 0 ? 1 : -1;
  const double pull = std::abs(at_p0.kg_s) * dt_s / kg_pa;
  double low = 0;
  double high = pull;  // without any leak
  double last = 0;
  double last_miss = -std::abs(guess);
  double now = std::abs(guess);
  constexpr int most_rounds = 12;
  for (int round = 0; round < most_rounds; ++round) {
    const double chord = std::abs(balance(p0 + way * now).kg_s - at_p0.kg_s) / now;
    const double miss = now - pull * mean_decay(dt_s * chord / kg_pa);
    if (std::abs(miss) < 1e-4 + 1e-4 * now) break;
    (miss < 0 ? low : high) = now;
    double next = now - miss * (now - last) / (miss - last_miss);
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    last = now;
    last_miss = miss;
    now = next;
  }
  return way * now;
}

}  // namespace relax_detail

/// Pressure of a zone a step later, with everything but the pressure standing still.
///
/// One evaluation for most houses: the exact solution of the balance made straight at p0. Where the
/// step is long against the zone's time constant and the pressure moves, chord_change().
/// @param kg_pa    mass that the zone takes up per pascal, above 0
/// @param balance  zone pressure -> Outflow, not falling
/// Source   exponential Rosenbrock-Euler (Hochbruck and Ostermann 2010, from memory); the chord is ours
template <class Balance>
[[nodiscard]] double relax(double p0, double dt_s, double kg_pa, Balance&& balance) {
  const Outflow at_p0 = balance(p0);
  const double z = dt_s * at_p0.kg_s_pa / kg_pa;
  const double change = -at_p0.kg_s * dt_s / kg_pa * relax_detail::mean_decay(z);
  constexpr double short_step = 0.25;
  constexpr double small_pa = 0.02;
  if (z < short_step || std::abs(change) < small_pa) return p0 + change;
  return p0 + relax_detail::chord_change(p0, dt_s, kg_pa, at_p0, change, balance);
}

}  // namespace leeward::sim
