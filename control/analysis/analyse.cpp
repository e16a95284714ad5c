#include "control/analysis/analyse.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/derived_figures.hpp"
#include "control/analysis/intervals.hpp"
#include "control/analysis/kept_parts.hpp"
#include "control/analysis/mean_curve.hpp"
#include "control/analysis/own_fit.hpp"
#include "control/analysis/signal_drift.hpp"
#include "control/analysis/standard_fit.hpp"
#include "control/analysis/validity.hpp"
#include "control/analysis/wind_bound.hpp"

namespace leeward::control {

namespace {

constexpr double kConfidence = 0.95;

Air standard_air() { return dry_air(celsius(20), pascals_absolute(101325)); }

Air procedure_air(const ProcedureSpec& procedure) {
  return dry_air(celsius(procedure.reference_temperature_c),
                 pascals_absolute(procedure.reference_pressure_abs_pa));
}

/// Budget of the flow at the reference pressure. What the line gains in scatter from the highest station
/// up to there is the price of the extrapolation and counts under the exponent.
Budget flow_budget(const CurveUncertainty& u, double reference_pa, double highest_pa) {
  Budget budget = budget_of(u, form_ln_flow_at(reference_pa));
  if (highest_pa >= reference_pa) return budget;
  const double at_highest = budget_of(u, form_ln_flow_at(highest_pa)).scatter;
  if (at_highest >= budget.scatter) return budget;
  budget.exponent =
      std::hypot(budget.exponent, std::sqrt((budget.scatter - at_highest) * (budget.scatter + at_highest)));
  budget.scatter = at_highest;
  return budget;
}

/// Up to where the stations reach; a highest station within tolerance of the reference reaches it.
double reach_pa(const DirectionResult& d, const ProcedureSpec& procedure) {
  return d.extrapolated ? d.highest_pa : procedure.reference_pressure_pa;
}

void set_residuals(DirectionResult& d, const UncertainCurve& curve) {
  for (StationResult& station : d.stations)
    if (fit_takes(station))
      station.residual = std::log(station.flow_m3_s) - curve.ln_c - curve.n * std::log(station.induced_pa);
}

/// Scatter of the stations about our line, in logarithms, and the part of their spread that it explains.
void set_quality(FitResult& fit, const DirectionResult& d, const OwnFit& own) {
  double residuals = 0;
  double sum = 0;
  double count = 0;
  for (const StationResult& station : d.stations) {
    if (!fit_takes(station)) continue;
    residuals += station.residual * station.residual;
    sum += std::log(station.flow_m3_s);
    ++count;
  }
  double spread = 0;
  for (const StationResult& station : d.stations)
    if (fit_takes(station)) spread += std::pow(std::log(station.flow_m3_s) - sum / count, 2);
  fit.degrees_of_freedom = own.env.degrees_of_freedom;
  if (fit.degrees_of_freedom > 0) fit.residual_s = std::sqrt(residuals / fit.degrees_of_freedom);
  if (!own.exponent_assumed && spread > 0) fit.r2 = std::max(0.0, 1 - residuals / spread);
}

void set_own(DirectionResult& d, const OwnFit& own, const ProcedureSpec& procedure) {
  if (!own.ok) return;
  const CurveIntervals intervals =
      curve_intervals(own.reference, procedure.reference_pressure_pa, kConfidence);
  d.own.valid = !own.exponent_assumed || procedure.fit == FitMethod::fixed_exponent;
  d.own.c_m3_s_pan = intervals.c_m3_s_pan;
  d.own.n = intervals.n;
  d.own.q_ref_m3_s = intervals.q_ref_m3_s;
  d.own.flows = intervals.flows;
  d.gust_sd_pa = own.gusts.sd_pa;
  d.gust_time_s = own.gusts.time_s;
  if (own.has_by_data) {
    const CurveIntervals by_data = curve_intervals(own.by_data, procedure.reference_pressure_pa, kConfidence);
    d.n_by_data = by_data.n;
    d.q_ref_by_data_m3_s = by_data.q_ref_m3_s;
  }
  set_residuals(d, own.env.curve);
  set_quality(d.own, d, own);
  d.budget = flow_budget(own.reference.u, procedure.reference_pressure_pa, reach_pa(d, procedure));
}

void set_corrections(DirectionResult& d, const SiteAir& site, const RunRecord& run) {
  d.density_indoor_kg_m3 = site.indoor.density.si();
  d.density_outdoor_kg_m3 = site.outdoor.density.si();
  d.meter_factor = meter_factor(d.direction, site, kg_per_m3(run.calibration_density_kg_m3));
  d.leak_factor = leak_factor(d.direction, site);
}

/// @param record  levelled
/// @param as_read  the same as it was measured
void set_stations(DirectionResult& d, const DirectionRecord& record, const DirectionRecord& as_read,
                  const ZeroFlow& zero, const ProcedureSpec& procedure) {
  for (std::size_t i = 0; i < record.stations.size(); ++i) {
    d.stations.push_back(
        induced_station(record.stations[i], d.direction, zero, d.meter_factor * d.leak_factor));
    d.stations.back().measured_pa = as_read.stations[i].pressure_mean_pa;
    d.stations.back().flow_read_m3_s = as_read.stations[i].flow_mean_m3_s;
    if (fit_takes(d.stations.back())) d.highest_pa = std::max(d.highest_pa, d.stations.back().induced_pa);
  }
  d.extrapolated =
      d.highest_pa > 0 && d.highest_pa + procedure.station_tolerance_pa < procedure.reference_pressure_pa;
}

void set_standard(DirectionResult& d, const GlsPoints& points, const Air& leak, const RunRecord& run) {
  d.standard_env = standard_fit(points, run.procedure);
  const double n = d.standard_env.valid ? d.standard_env.n.value : run.procedure.fixed_exponent;
  d.reference_factor =
      reference_factor(n, leak, procedure_air(run.procedure), run.procedure.viscosity_correction);
  d.standard = scaled(d.standard_env, d.reference_factor);
}

OwnFit analyse_direction(DirectionResult& d, const DirectionRecord& raw, const RunRecord& run) {
  const SiteAir site = site_air(conditions_of(run, raw));
  const DirectionRecord as_read = without_signal_drift(raw);
  const DirectionRecord record = levelled(as_read, run);
  const ZeroFlow zero = zero_flow(record.before, record.after);
  d.direction = record.direction;
  d.zero_flow_pa = zero.pressure_pa;
  d.zero_flow_u_pa = zero.u_pa;
  set_corrections(d, site, run);
  set_stations(d, record, as_read, zero, run.procedure);
  if (!zero.known) return {};
  const GlsPoints points = fit_points(record, d.stations);
  set_standard(d, points, air_into_leaks(d.direction, site), run);
  const OwnFit own = own_fit(record, points, zero, site, standard_air(), run, d.meter_factor * d.leak_factor);
  set_own(d, own, run.procedure);
  return own;
}

void set_figures(RunResult& result, const UncertainCurve& curve, const RunRecord& run) {
  const double reference_pa = run.procedure.reference_pressure_pa;
  const CurveIntervals intervals = curve_intervals(curve, reference_pa, kConfidence);
  result.q_ref_m3_s = intervals.q_ref_m3_s;
  result.c_m3_s_pan = intervals.c_m3_s_pan;
  result.n = intervals.n;
  result.flows = intervals.flows;
  set_derived(result, curve, run, {standard_air().density, kConfidence});
  if (run.conditions.has_wind)
    result.wind_bound_frac = wind_bound(run.conditions.wind_m_s, curve.n, reference_pa);
}

bool all_valid(const RunResult& result) {
  return std::all_of(result.directions.begin(), result.directions.end(),
                     [](const DirectionResult& d) { return d.own.valid && d.standard.valid; });
}

}  // namespace

RunResult analyse(const RunRecord& run) noexcept {
  RunResult result;
  FixedVector<UncertainCurve, 2> curves;
  double reach = run.procedure.reference_pressure_pa;
  for (const DirectionRecord& record : run.directions) {
    result.directions.push_back({});
    DirectionResult& d = result.directions.back();
    const OwnFit own = analyse_direction(d, record, run);
    if (!own.ok) continue;
    result.r2 = curves.empty() ? d.standard.r2 : std::min(result.r2, d.standard.r2);
    reach = std::min(reach, reach_pa(d, run.procedure));
    curves.push_back(own.reference);
  }
  result.verdicts = check_validity(run, result.directions);
  if (curves.empty()) return result;
  const UncertainCurve curve =
      curves.size() == 2 ? mean_curve(curves[0], curves[1], run.procedure.reference_pressure_pa) : curves[0];
  set_figures(result, curve, run);
  result.budget = flow_budget(curve.u, run.procedure.reference_pressure_pa, reach);
  result.computed = true;
  result.valid = all_valid(result) && !any_invalidates(run.procedure, result.verdicts);
  return result;
}

}  // namespace leeward::control
