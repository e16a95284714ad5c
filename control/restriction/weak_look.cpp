#include "control/restriction/weak_look.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

constexpr double kWeakSignal = 0.8;  // Pa: ten times its error
constexpr int kGrid = 120;
constexpr double kFarthest = 4.0;  // standard uncertainties to either side

}  // namespace

bool is_weak(double signal_pa) noexcept { return signal_pa < kWeakSignal; }

HouseCurve after_weak_look(const HouseCurve& before, const RestrictionSpec& restriction,
                           const Look& look) noexcept {
  const double spread = flow_relative_u_at(before, look.pressure_pa);
  const double fans = std::max(1, look.fans);
  if (!(spread > 0) || !(look.pressure_pa > 0) || !std::isfinite(look.signal_pa)) return before;
  double weight = 0, first = 0, second = 0;
  for (int i = -kGrid; i <= kGrid; ++i) {
    const double off = spread * kFarthest * i / kGrid;
    const double signal = signal_pa(restriction, flow_at(before, look.pressure_pa) * std::exp(off) / fans);
    const double misfit = (signal - look.signal_pa) / kLookSignalU;
    const double prior = off / spread;
    const double w = std::exp(-0.5 * (misfit * misfit + prior * prior));
    weight += w;
    first += w * off;
    second += w * off * off;
  }
  if (!(weight > 0)) return before;
  HouseCurve after = before;
  after.pair.a += first / weight;
  after.pair.var_a = std::max(1e-6, second / weight - first * first / (weight * weight));
  after.pair.cov_ab = 0;
  return after;
}

}  // namespace leeward::control
