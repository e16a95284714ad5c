#include "control/restriction/blind_start.hpp"

#include <algorithm>

#include "control/restriction/plan.hpp"

namespace leeward::control {
namespace {

constexpr double kTellingSignal = 0.5;  // Pa: averaged over a look its error is some per cent of the flow

/// Which restrictions tell anything at a pressure, instead of which may be measured with.
ServedTable telling_table(const RestrictionView& view, double pressure_pa) {
  FanSpec fan = view.fan;
  for (RestrictionSpec& r : fan.restrictions) r.signal_min_pa = std::min(r.signal_min_pa, kTellingSignal);
  const RestrictionView telling{view.house,           view.map,    view.curve, fan, view.fans,
                                view.demand_max_frac, view.fitted, false};
  return served_table(telling, {&pressure_pa, 1});
}

/// No restriction serves the station, and the largest comes nearest: the flow is beyond the fan.
bool beyond_fan(const Possibility& p, std::size_t stations) {
  for (std::size_t s = 0; s < stations; ++s)
    if (p.served[s] == 0 && p.suited[s] == 1) return true;
  return false;
}

}  // namespace

BlindStart blind_start(const RestrictionView& view, std::span<const double> stations_pa,
                       double look_pa) noexcept {
  const ServedTable table = served_table(view, stations_pa);
  const ServedTable look = telling_table(view, look_pa);
  std::array<double, kMaxRestrictions> changes{};
  double houses = 0;
  for (std::size_t i = 0; i < table.possibilities; ++i) {
    if (beyond_fan(table.rows[i], table.stations)) continue;
    houses += 1;
    for (std::size_t k = 0; k < table.restrictions; ++k) {
      const bool tells = (look.rows[i].suited[0] >> k & 1U) != 0;
      changes[k] += fewest_changes(table.rows[i], table.stations, static_cast<RestrictionSet>(1U << k)) +
                    (tells ? 0 : 1);
    }
  }
  BlindStart start{view.fitted, 0, 0};
  if (!(houses > 0)) return start;
  const auto at = [&](int k) { return changes[static_cast<std::size_t>(k)] / houses; };
  for (int k = 0; k < static_cast<int>(table.restrictions); ++k)
    if (at(k) < at(start.restriction)) start.restriction = k;
  start.changes = at(start.restriction);
  start.fitted_changes = at(view.fitted);
  return start;
}

double tells_p(const RestrictionView& view, double pressure_pa) noexcept {
  return serves_p(telling_table(view, pressure_pa), view.fitted, 1U);
}

}  // namespace leeward::control
