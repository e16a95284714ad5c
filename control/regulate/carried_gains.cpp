#include "control/regulate/carried_gains.hpp"

#include <algorithm>

namespace leeward::control {
namespace {

double carried(double found, double from, double to) {
  return from > 0 ? found * std::clamp(to / from, 1 / kMostCarried, kMostCarried) : found;
}

}  // namespace

bool has_tuned_gains(const RegulatorSpec& spec) noexcept {
  return spec.tuned_kc_frac_per_pa > 0 && spec.tuned_ti_s > 0 && spec.tuned_pa > 0;
}

PidTuning carried_gains(const RegulatorSpec& spec, const PidTuning& found_at,
                        const PidTuning& here) noexcept {
  PidTuning out = here;
  out.kc = carried(spec.tuned_kc_frac_per_pa, found_at.kc, here.kc);
  out.ti_s = carried(spec.tuned_ti_s, found_at.ti_s, here.ti_s);
  return out;
}

}  // namespace leeward::control
