#include "control/analysis/own_fit.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/joint_fit.hpp"

namespace leeward::control {

namespace {

/// A leak obeys both limits, orifice and laminar, whatever a standard leaves out: at 3 C outdoors the
/// viscosity is worth 1.7 % of the flow. The procedure's own fit follows the procedure.
constexpr bool kWithViscosity = true;

double finite_or_zero(double v) { return std::isfinite(v) ? v : 0.0; }

std::size_t points_for_a_free_exponent(const ProcedureSpec& procedure) {
  return procedure.stations_pa.size() == 2 ? 2 : 3;
}

bool exponent_is_free(const GlsPoints& points, const ProcedureSpec& procedure) {
  if (procedure.fit == FitMethod::fixed_exponent) return false;
  if (points.size() < points_for_a_free_exponent(procedure)) return false;
  double low = points[0].pressure_pa;
  double high = low;
  for (const GlsPoint& p : points) {
    low = std::min(low, p.pressure_pa);
    high = std::max(high, p.pressure_pa);
  }
  return high >= kLeastPressureSpread * low;
}

/// d ln(viscosity) / d ln(temperature) by Sutherland's law.
double viscosity_slope(Temperature t) { return 1.5 - t.si() / (t.si() + 110.4); }

/// ln C at reference air goes with half of ln(density) through the fan and with -n of it into the leaks;
/// density with the pressure and against the temperature. Humidity is left out: below 0.1 %.
std::array<Effect, kDensityCauses> density_effects(double n, Direction d, const SiteAir& site,
                                                   const RunRecord& run) {
  const double leak_weight = n + (2 * n - 1) * viscosity_slope(air_into_leaks(d, site).temperature);
  const double by_fan = -0.5 * kTemperatureUK / air_through_fan(d, site).temperature.si();
  const double by_leak = leak_weight * kTemperatureUK / air_into_leaks(d, site).temperature.si();
  const bool out = d == Direction::depressurize;
  const double u_pressure = run.conditions.has_barometric ? kBarometerUFrac : kAltitudeWeatherUFrac;
  return {Effect{out ? by_fan : by_leak, 0}, Effect{out ? by_leak : by_fan, 0},
          Effect{(0.5 - n) * u_pressure, 0}};
}

/// A gauge that reads (1 + e) times the pressure moves every ln p by e, and so the line of ln q over it by
/// -n e at every pressure; n stays. Both directions are read with the same gauge.
/// Source  half-width of an even distribution over its square root of 3 (JCGM 100:2008 4.3.7)
Effect gauge_effect(double n, const RunRecord& run) {
  return {-n * run.building_gauge_accuracy_frac / std::sqrt(3.0), 0};
}

/// Height of a building that nobody has measured, for the stack pressure alone.
constexpr double kUsualHeight = 5.5;

}  // namespace

StackSight stack_sight(const SiteAir& site, const BuildingSpec& building) noexcept {
  constexpr double gravity = 9.80665;
  const double height_m = building.height_m > 0 ? building.height_m : kUsualHeight;
  const double outdoor = site.outdoor.density.si();
  const double indoor = site.indoor.density.si();
  return {.stack_pa = (outdoor - indoor) * gravity * height_m,
          .ln_density = std::log(outdoor / indoor),
          .height_m = height_m};
}

GlsPoints fit_points(const DirectionRecord& record,
                     const FixedVector<StationResult, kMaxStations>& stations) noexcept {
  GlsPoints points;
  for (std::size_t i = 0; i < stations.size(); ++i) {
    if (!fit_takes(stations[i])) continue;
    const StationRecord& raw = record.stations[i];
    const double part_zero_u_pa =
        raw.part > 0 ? zero_flow(record.kept[static_cast<std::size_t>(raw.part) - 1].before, {}).u_pa : 0;
    points.push_back(
        {.pressure_pa = stations[i].induced_pa,
         .flow_m3_s = stations[i].flow_m3_s,
         .u_pressure_pa = std::hypot(finite_or_zero(raw.pressure_mean_se_pa), kPressureResolutionPa),
         .u_flow_frac =
             std::hypot(finite_or_zero(raw.flow_mean_se_m3_s / raw.flow_mean_m3_s), kFlowResolutionFrac),
         .restriction = raw.restriction,
         .u_scale_frac = finite_or_zero(raw.flow_k_relative_u),
         .part = raw.part,
         .u_part_zero_pa = part_zero_u_pa});
  }
  return points;
}

namespace {

/// At reference air, with what the densities add.
UncertainCurve at_reference(const UncertainCurve& env, Direction d, const SiteAir& site, const Air& reference,
                            const RunRecord& run) {
  const Air& leak = air_into_leaks(d, site);
  UncertainCurve out;
  out.n = env.n;
  out.ln_c = env.ln_c + std::log(reference_factor(env.n, leak, reference, kWithViscosity));
  out.u = mapped(env.u, {.cc = 1, .cn = reference_factor_slope(leak, reference, kWithViscosity), .nn = 1});
  out.u.gauge = gauge_effect(env.n, run);
  out.u.density = density_effects(env.n, d, site, run);
  return out;
}

/// From the blocks of the record, where it holds them.
void fit_blocks(OwnFit& fit, UncertainCurve& by_data, const DirectionRecord& record,
                const JointModel& model) {
  const JointFit joint = joint_fit(model);
  if (!joint.ok) return;
  fit.env.ok = true;
  fit.env.curve = joint.curve;
  fit.gusts = joint.gusts;
  if (fit.exponent_assumed) return;
  JointModel open = model;
  open.exponent.used = false;
  const JointFit without = joint_fit(open);
  fit.has_by_data = without.ok && record.stations.size() > 2;
  by_data = without.curve;
}

}  // namespace

OwnFit own_fit(const DirectionRecord& record, const GlsPoints& points, const ZeroFlow& zero,
               const SiteAir& site, const Air& reference, const RunRecord& run, double flow_factor) noexcept {
  OwnFit fit;
  const Direction d = record.direction;
  if (points.empty()) return fit;
  fit.exponent_assumed = !exponent_is_free(points, run.procedure);
  const AssumedExponent prior{run.procedure.fixed_exponent, run.procedure.exponent_u};
  UncertainCurve by_data;
  if (has_blocks(record))
    fit_blocks(fit, by_data, record,
               {.record = record,
                .flow_factor = flow_factor,
                .stack = stack_sight(site, run.building),
                .volume_m3 = run.building.volume_m3,
                .exponent = {.n = prior.n, .u = prior.u}});
  if (!fit.env.ok)
    fit.env = gls_fit(points, zero.u_pa, fit.exponent_assumed ? std::optional(prior) : std::nullopt);
  if (!fit.env.ok) return fit;
  fit.env.degrees_of_freedom = static_cast<int>(points.size()) - (fit.exponent_assumed ? 1 : 2);
  fit.reference = at_reference(fit.env.curve, d, site, reference, run);
  if (fit.has_by_data) fit.by_data = at_reference(by_data, d, site, reference, run);
  fit.ok = true;
  return fit;
}

}  // namespace leeward::control
