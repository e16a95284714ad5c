#include "control/regulate/relay_experiment.hpp"

#include <algorithm>

namespace leeward::control {
namespace {

void turn(const RelaySpec& spec, RelayState& s, double off) {
  // The first half begins from rest, and those that settle come after it: none of them is like the others.
  if (s.switches > 2 * spec.settle) s.halves.push_back({s.since_switch_s, s.extreme_pa});
  s.high = !s.high;
  s.since_switch_s = 0;
  s.extreme_pa = off;
  ++s.switches;
}

}  // namespace

RelayState relay_start(double base_frac, double centre_pa) noexcept {
  RelayState s;
  s.base_frac = base_frac;
  s.watch.centre_pa = centre_pa;
  return s;
}

double relay_step(const RelaySpec& spec, RelayState& s, const ExperimentInput& in) noexcept {
  if (!watch_step(spec.bounds, s.watch, in)) return s.base_frac;
  s.since_switch_s += in.dt_s > 0 ? in.dt_s : 0;
  if (in.fresh) {
    const double off = in.y_pa - s.watch.centre_pa;
    // For the delay after a switch the pressure goes on the old way: there lies the extreme.
    s.extreme_pa = s.high ? std::min(s.extreme_pa, off) : std::max(s.extreme_pa, off);
    if (s.high ? off > spec.hysteresis_pa : off < -spec.hysteresis_pa) turn(spec, s, off);
  }
  const auto wanted = static_cast<std::size_t>(2 * std::clamp(spec.cycles, 1, kMostCycles));
  if (s.halves.size() >= wanted) {
    s.watch.end = ExperimentEnd::done;
    return s.base_frac;
  }
  return s.base_frac + (s.high ? spec.amplitude_frac : -spec.amplitude_frac);
}

}  // namespace leeward::control
