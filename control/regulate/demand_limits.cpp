#include "control/regulate/demand_limits.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

/// Whether the fan is to run at all.
bool should_run(const DemandLimits& l, bool running, double wanted) {
  return wanted > 0 && wanted >= (running ? l.stop_below_frac : l.start_frac);
}

/// What the limits leave of a demand without regard to time.
double within(const DemandLimits& l, bool run, double wanted) {
  return run ? std::clamp(wanted, l.start_frac, l.max_frac) : 0.0;
}

}  // namespace

Result<DemandLimits> checked(const DemandLimits& l) {
  const auto bad = [](const char* field, const char* text) {
    return tl::make_unexpected(Error{Errc::out_of_range, field, text});
  };
  if (!(l.start_frac >= 0)) return bad("start_frac", "must be 0 or above");
  if (!(l.stop_below_frac >= 0 && l.stop_below_frac <= l.start_frac))
    return bad("stop_below_frac", "must be within 0 and start_frac");
  if (!(l.max_frac > l.start_frac && l.max_frac <= 1))
    return bad("max_frac", "must be above start_frac, at most 1");
  if (!(l.up_per_s > 0)) return bad("up_per_s", "must be above 0");
  if (!(l.down_per_s > 0)) return bad("down_per_s", "must be above 0");
  return l;
}

DemandOutput demand_step(const DemandLimits& l, const DemandState& s, double wanted, double dt_s) noexcept {
  const double last = within(l, s.running, std::isfinite(s.demand_frac) ? s.demand_frac : 0.0);
  DemandOutput out;
  const bool hold = !std::isfinite(wanted) || !(dt_s > 0);
  const bool run = hold ? s.running : should_run(l, s.running, wanted);
  const double aim = hold ? last : within(l, run, wanted);
  const double up = hold ? 0 : l.up_per_s * dt_s;
  const double down = hold ? 0 : l.down_per_s * dt_s;
  double demand = std::clamp(aim, last - down, last + up);
  const bool slewing = demand != aim && !(aim <= 0 && demand < l.start_frac);
  if (demand < l.start_frac) demand = aim > 0 ? l.start_frac : 0.0;  // jumps over where it can't run

  if (!hold && wanted > l.max_frac) out.limited_by = LimitedBy::demand_max;
  if (!hold && run && wanted < l.start_frac) out.limited_by = LimitedBy::demand_min;
  if (!hold && !run && wanted > 0) out.limited_by = LimitedBy::demand_min;
  if (slewing) out.limited_by = LimitedBy::slew;
  out.demand_frac = demand;
  out.next = {out.demand_frac, out.demand_frac > 0};
  return out;
}

}  // namespace leeward::control
