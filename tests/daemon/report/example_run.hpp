#pragma once
/// A run with its result, all numbers invented here and consistent with each other only where a test says so.

#include <cmath>

#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"
#include "control/engine_config.hpp"

namespace leeward::daemon::example {

inline control::Interval interval(double value, double relative) {
  return {true, value, value * (1 - relative), value * (1 + relative), value * (1 + 0.84 * relative)};
}

inline control::FlowsAt flows(double c_m3_s_pan, double n) {
  const auto at = [&](double pa) { return interval(c_m3_s_pan * std::pow(pa, n), 0.03); };
  return {at(4), at(10), at(50), at(75)};
}

inline control::EngineConfig engine() {
  control::EngineConfig config;
  config.rig_name = "demo";
  control::FanSpec fan;
  fan.name = "demo-fan";
  fan.restrictions.push_back({"bore-500", 0.204, 0.5, 5, 160, 0.1, 0.02});
  fan.restrictions.push_back({"bore-290", 0.07, 0.5, 5, 250, 0.1, 0.02});
  config.fans.push_back(fan);
  return config;
}

inline control::CheckSpec check(control::CheckKind kind, double low, control::Severity severity) {
  control::CheckSpec spec;
  spec.kind = kind;
  spec.has_low = true;
  spec.low = low;
  spec.severity = severity;
  spec.clause = "clause 5.3";
  return spec;
}

inline control::RunRecord record(int directions = 1, double reference_pa = 50) {
  control::RunRecord record;
  record.procedure.id = "steady";
  record.procedure.title = "Example procedure, invented";
  record.procedure.reference_pressure_pa = reference_pa;
  record.procedure.checks.push_back(check(control::CheckKind::station_count, 5, control::Severity::invalid));
  record.procedure.checks.push_back(check(control::CheckKind::r2_min, 0.98, control::Severity::deviation));
  record.building.name = "Demo house, invented";
  record.building.volume_m3 = 400;
  record.conditions.has_wind = true;
  record.conditions.wind_m_s = 3;
  for (int i = 0; i < directions; ++i) {
    control::DirectionRecord d;
    d.direction = i == 0 ? control::Direction::depressurize : control::Direction::pressurize;
    d.before = {true, 0, 30000000000, 300, -1.5, 0.2, -1.6, 0.5, 0.1};
    control::StationRecord station;
    station.flow_k_relative_u = 0.02;
    d.stations.push_back(station);
    record.directions.push_back(d);
  }
  return record;
}

inline control::FitResult fit(double c_m3_s_pan, double n, double reference_pa) {
  control::FitResult f;
  f.valid = true;
  f.c_m3_s_pan = interval(c_m3_s_pan, 0.04);
  f.n = interval(n, 0.02);
  f.q_ref_m3_s = interval(c_m3_s_pan * std::pow(reference_pa, n), 0.03);
  f.flows = flows(c_m3_s_pan, n);
  f.r2 = 0.9995;
  f.residual_s = 0.004;
  f.degrees_of_freedom = 5;
  return f;
}

inline control::DirectionResult direction(control::Direction which, double c_m3_s_pan, double reference_pa) {
  control::DirectionResult d;
  d.direction = which;
  d.own = d.standard = d.standard_env = fit(c_m3_s_pan, 0.65, reference_pa);
  d.highest_pa = 60;
  const double sign = control::sign_of(which);
  d.stations.push_back({50, sign * 51.6, 50.1, 0.33, 0.34, 12.5, 0.43, 1, 0.002, true, true});
  d.stations.push_back({25, sign * 26.4, 24.9, 0.21, 0.22, 3.1, 0.24, 1, -0.003, false, false});
  return d;
}

inline control::RunResult result(int directions = 1, double reference_pa = 50) {
  control::RunResult r;
  r.computed = r.valid = true;
  r.directions.push_back(direction(control::Direction::depressurize, 0.026, reference_pa));
  if (directions == 2) r.directions.push_back(direction(control::Direction::pressurize, 0.030, reference_pa));
  const double c = directions == 2 ? 0.028 : 0.026;
  r.c_m3_s_pan = interval(c, 0.04);
  r.n = interval(0.65, 0.02);
  r.q_ref_m3_s = interval(c * std::pow(reference_pa, 0.65), 0.03);
  r.flows = flows(c, 0.65);
  r.at_50_pa.n_per_h = interval(r.flows.q50_m3_s.value * 3600 / 400, 0.03);
  r.n50_per_h = interval(r.q_ref_m3_s.value * 3600 / 400, 0.03);
  r.ela4_m2 = interval(0.025, 0.05);
  r.r2 = 0.9995;
  for (int i = 0; i < directions; ++i) {
    r.verdicts.push_back({0, i, control::CheckOutcome::failed, 2, 5});
    r.verdicts.push_back({1, i, control::CheckOutcome::not_applicable, 0, 0});
  }
  return r;
}

}  // namespace leeward::daemon::example
