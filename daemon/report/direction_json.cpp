#include "daemon/report/direction_json.hpp"

#include <cmath>

#include "control/analysis/density_correction.hpp"
#include "control/analysis/metrics.hpp"
#include "daemon/report/assumed_exponent.hpp"
#include "daemon/report/json_figures.hpp"
#include "daemon/words/ask_text.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using nlohmann::json;

json station_json(control::Direction direction, const control::StationResult& s,
                  const control::EngineConfig& engine) {
  return {{"direction", name_of(direction)},
          {"target_pa", number_or_null(s.target_pa)},
          {"induced_pa", number_or_null(s.induced_pa)},
          {"measured_pa", number_or_null(s.measured_pa)},
          {"flow_m3_h", number_or_null(s.flow_m3_s * kHourlyPerSecond)},
          {"flow_read_m3_h", number_or_null(s.flow_read_m3_s * kHourlyPerSecond)},
          {"signal_pa", number_or_null(s.signal_pa)},
          {"restriction", restriction_name(engine, 0, s.restriction)},
          {"demand_frac", number_or_null(s.demand_frac)},
          {"part", s.part},
          {"settled", s.settled},
          {"signal_in_range", s.signal_in_range},
          {"residual_frac", number_or_null(std::expm1(s.residual))}};
}

bool is_fixed(const control::ProcedureSpec& procedure) {
  return procedure.fit == control::FitMethod::fixed_exponent;
}

}  // namespace

json stations_json(const control::DirectionResult& direction, const control::EngineConfig& engine) {
  json list = json::array();
  for (const control::StationResult& station : direction.stations)
    list.push_back(station_json(direction.direction, station, engine));
  return list;
}

void put_flows(json& out, const control::Interval& q_ref_m3_s, const control::FlowsAt& flows,
               double reference_pa) {
  put_interval(out, "q4_m3_h", flows.q4_m3_s, kHourlyPerSecond);
  put_interval(out, "q10_m3_h", flows.q10_m3_s, kHourlyPerSecond);
  put_interval(out, "q50_m3_h", flows.q50_m3_s, kHourlyPerSecond);
  put_interval(out, "q75_m3_h", flows.q75_m3_s, kHourlyPerSecond);
  put_interval(out, "q" + key_pressure(reference_pa) + "_m3_h", q_ref_m3_s, kHourlyPerSecond);
}

void put_leakage_areas(json& out, const control::FlowsAt& flows, control::Density air) {
  const auto cm2_per_m3_s = [air](double pa, double discharge_coefficient) {
    return kCm2PerM2 *
           control::leakage_area_m2(control::m3_per_s(1), control::pascals(pa), air, discharge_coefficient);
  };
  put_interval(out, "ela4_cm2", flows.q4_m3_s,
               cm2_per_m3_s(control::kEla4Pa, control::kEla4DischargeCoefficient));
  put_interval(out, "ela10_cm2", flows.q10_m3_s,
               cm2_per_m3_s(control::kEqla10Pa, control::kEla4DischargeCoefficient));
  put_interval(out, "eqla10_cm2", flows.q10_m3_s,
               cm2_per_m3_s(control::kEqla10Pa, control::kEqla10DischargeCoefficient));
}

json fit_json(const control::FitResult& fit, double reference_pa, bool exponent_assumed) {
  json out = {{"valid", fit.valid},
              {"exponent_assumed", exponent_assumed},
              {"r2", number_if(fit.valid && !exponent_assumed && fit.degrees_of_freedom > 0, fit.r2)},
              {"residual_frac", number_if(fit.valid, fit.residual_s)},
              {"degrees_of_freedom", fit.degrees_of_freedom}};
  put_interval(out, "c_m3_h_pan", fit.c_m3_s_pan, kHourlyPerSecond);
  put_interval(out, "n", fit.n, 1);
  put_flows(out, fit.q_ref_m3_s, fit.flows, reference_pa);
  return out;
}

json standard_fit_json(const control::DirectionResult& d, const control::ProcedureSpec& procedure) {
  json out = fit_json(d.standard, procedure.reference_pressure_pa, is_fixed(procedure));
  const control::Air air = control::dry_air(control::celsius(procedure.reference_temperature_c),
                                            control::pascals_absolute(procedure.reference_pressure_abs_pa));
  put_leakage_areas(out, d.standard.flows, air.density);
  return out;
}

json budget_json(bool known, const control::Budget& b) {
  return {
      {"scatter_frac", number_if(known, b.scatter)},         {"baseline_frac", number_if(known, b.baseline)},
      {"calibration_frac", number_if(known, b.calibration)}, {"gauge_frac", number_if(known, b.gauge)},
      {"density_frac", number_if(known, b.density)},         {"wind_frac", number_if(known, b.wind)},
      {"exponent_frac", number_if(known, b.exponent)},       {"total_frac", number_if(known, b.total)}};
}

/// What the data say of themselves, without what is known of houses' exponents beforehand.
json by_data_json(const control::DirectionResult& d, double reference_pa) {
  json out;
  put_interval(out, "n", d.n_by_data, 1);
  put_interval(out, "q" + key_pressure(reference_pa) + "_m3_h", d.q_ref_by_data_m3_s, kHourlyPerSecond);
  return out;
}

json direction_json(const control::DirectionResult& d, const control::ProcedureSpec& procedure) {
  const double reference_pa = procedure.reference_pressure_pa;
  return {{"direction", name_of(d.direction)},
          {"zero_flow_pa", number_or_null(d.zero_flow_pa)},
          {"zero_flow_u_pa", number_or_null(d.zero_flow_u_pa)},
          {"density_indoor_kg_m3", number_or_null(d.density_indoor_kg_m3)},
          {"density_outdoor_kg_m3", number_or_null(d.density_outdoor_kg_m3)},
          {"meter_factor", number_or_null(d.meter_factor)},
          {"leak_factor", number_or_null(d.leak_factor)},
          {"reference_factor", number_or_null(d.reference_factor)},
          {"own", fit_json(d.own, reference_pa, exponent_assumed(d, procedure))},
          {"standard", standard_fit_json(d, procedure)},
          {"standard_env", fit_json(d.standard_env, reference_pa, is_fixed(procedure))},
          {"budget", budget_json(d.own.n.known, d.budget)},
          {"without_exponent_prior", by_data_json(d, reference_pa)},
          {"gust_sd_pa", number_if(d.gust_time_s > 0, d.gust_sd_pa)},
          {"gust_time_s", number_if(d.gust_time_s > 0, d.gust_time_s)},
          {"highest_pa", number_or_null(d.highest_pa)},
          {"extrapolated", d.extrapolated}};
}

}  // namespace leeward::daemon
