#pragma once

#include <cmath>

#include "sim/fast_math.hpp"
#include "sim/zone.hpp"

namespace leeward::sim {

namespace relax_detail {

/// (1 - e^-z) / z
inline double mean_decay(double z) {
  constexpr double all_over = 50;
  if (z < 1e-5) return 1 - 0.5 * z;
  if (z > all_over) return 1 / z;
  return (1 - fast_exp(-z)) / z;
}

/// How a pressure moves in one step: by how much, and at which rate it nears its balance.
struct Move {
  double pa = 0;
  double z = 0;  ///< step over time constant
};

/// The move whose slope is that of the chord over this very move, where one straight slope is too
/// coarse. As the step gets long the chord leads to the balance itself, so that a house of any leakage
/// neither overshoots nor oscillates.
template <class Balance>
Move chord_move(double p0, double dt_per_kg_pa, const Outflow& at_p0, double guess_pa, Balance& balance) {
  const double way = at_p0.kg_s < 0 ? 1 : -1;
  const double pull = std::abs(at_p0.kg_s) * dt_per_kg_pa;
  double low = 0;
  double high = pull;  // without any leak
  double last = 0;
  double last_miss = -std::abs(guess_pa);
  double now = std::abs(guess_pa);
  double z = 0;
  constexpr int most_rounds = 12;
  for (int round = 0; round < most_rounds; ++round) {
    z = dt_per_kg_pa * std::abs(balance(p0 + way * now).kg_s - at_p0.kg_s) / now;
    const double miss = now - pull * mean_decay(z);
    if (std::abs(miss) < 1e-4 + 1e-4 * now) break;
    (miss < 0 ? low : high) = now;
    double next = now - miss * (now - last) / (miss - last_miss);
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    last = now;
    last_miss = miss;
    now = next;
  }
  return {way * now, z};
}

}  // namespace relax_detail

struct Relaxed {
  double end_pa = 0;
  double mean_pa = 0;  ///< over the step
};

/// Pressure of a zone after a step, with everything but the pressure standing still.
///
/// One evaluation for most houses: the exact solution of the balance made straight at p0. Where the
/// step is long against the zone's time constant and the pressure moves, chord_move().
/// @param kg_pa    mass that the zone takes up per pascal, above 0
/// @param balance  zone pressure -> Outflow, not falling
/// Source   exponential Rosenbrock-Euler (Hochbruck and Ostermann 2010, from memory); the chord is ours
template <class Balance>
[[nodiscard]] Relaxed relax(double p0, double dt_s, double kg_pa, Balance&& balance) {
  const Outflow at_p0 = balance(p0);
  const double dt_per_kg_pa = dt_s / kg_pa;
  relax_detail::Move move{.z = at_p0.kg_s_pa * dt_per_kg_pa};
  double decay = relax_detail::mean_decay(move.z);
  move.pa = -at_p0.kg_s * dt_per_kg_pa * decay;
  constexpr double short_step = 0.25;
  constexpr double small_pa = 0.02;
  if (move.z > short_step && std::abs(move.pa) > small_pa) {
    move = relax_detail::chord_move(p0, dt_per_kg_pa, at_p0, move.pa, balance);
    decay = relax_detail::mean_decay(move.z);
  }
  // Of the move, the part that is behind it on average: half of a slow one, all of a sudden one.
  const double behind = move.z < 1e-4 ? 0.5 : (1 - decay) / (move.z * decay);
  return {p0 + move.pa, p0 + behind * move.pa};
}

}  // namespace leeward::sim
