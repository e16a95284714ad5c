#include "tests/fuzz/engine_rigs.hpp"

#include "sim/house_spec.hpp"

namespace leeward::fuzz {
namespace {

control::EngineConfig usual() {
  control::EngineConfig config;
  config.rig_name = "fuzz-rig";
  config.fans.push_back(sim::demo_fan());
  return config;
}

control::EngineConfig plain_without_curve() {
  control::EngineConfig config = usual();
  config.regulator.law = control::RegulatorLaw::plain;
  config.regulator.derivative_s = 0.3;
  config.fans[0].curve.clear();
  config.fans[0].fitted = 1;
  return config;
}

control::EngineConfig two_fans_unknown_drive() {
  control::EngineConfig config = usual();
  config.fans.push_back(sim::demo_fan());
  config.learns_drive = true;
  config.silence_stop = control::SilenceStop::device_timeout;
  return config;
}

control::EngineConfig slow_and_limited() {
  control::EngineConfig config = usual();
  config.sample_hz = 2;
  config.limits = {.building_pressure_max_pa = 45,
                   .pressure_rate_max_pa_s = 15,
                   .sensor_range_pa = 120,
                   .demand_max_frac = 0.6,
                   .missing_sample_s = 1.2,
                   .frozen_s = 4};
  config.fans[0].max_demand_frac = 0.7;
  config.regulator.tuned_pa = 30;
  config.regulator.tuned_kc_frac_per_pa = 0.01;
  config.regulator.tuned_ti_s = 2;
  return config;
}

}  // namespace

const std::vector<FuzzRig>& fuzz_rigs() {
  static const std::vector<FuzzRig> rigs = [] {
    std::vector<FuzzRig> out;
    for (const control::EngineConfig& config :
         {usual(), plain_without_curve(), two_fans_unknown_drive(), slow_and_limited()}) {
      control::Engine engine(config);
      out.push_back({engine, engine.initial_state()});
    }
    return out;
  }();
  return rigs;
}

control::ProcedureSpec short_procedure(unsigned variation) {
  control::ProcedureSpec p;
  p.id = "fuzz-short";
  p.baseline_s = 5;
  p.baseline_most_s = (variation & 1U) != 0 ? 8 : 0;
  p.baseline_min_samples = 5;
  p.baseline_after = (variation & 2U) != 0;
  p.look_round_min_s = 0;
  p.climb_rate_pa_s = 5;
  p.station_settle_s = 1;
  p.station_average_s = 2;
  p.station_most_s = (variation & 4U) != 0 ? 4 : 0;
  p.station_max_wait_s = 8;
  p.keep_speed = (variation & 8U) != 0;
  p.fit = (variation & 16U) != 0 ? control::FitMethod::fixed_exponent : control::FitMethod::ols_loglog;
  const bool many = (variation & 32U) != 0;
  for (const double pa : {44., 36., 28., 20.})
    if (many || p.stations_pa.empty()) p.stations_pa.push_back(pa);
  if ((variation & 64U) != 0) p.checklist.push_back("Windows closed");
  if ((variation & 128U) != 0) p.restore.push_back("Seals out");
  return p;
}

}  // namespace leeward::fuzz
