#include "sim/campaign/drive_scenario.hpp"

#include <algorithm>
#include <vector>

#include "control/plant_watch.hpp"
#include "sim/campaign/loop_setup.hpp"

namespace leeward::sim {

namespace {

constexpr std::uint64_t kOtherNoise = 0x5DEECE66DU;  // than that of what the drive is learnt for
constexpr double kLongest = 200;                     // s, zero-flow reading and countdown included

}  // namespace

DriveLearnt judged_drive(const HouseSpec& house, const DriveRun& run) {
  const control::DriveFound& found = run.fit.found;
  const DriveSpec& drive = house.fans[0].drive;
  DriveLearnt out;
  out.lasted_s = run.lasted_s;
  out.highest_pa = run.highest_pa;
  out.found = found.known;
  out.slew_error = found.slew_s.value / drive.slew_s_full - 1;
  out.lag_error = found.lag_s.value / drive.lag_s - 1;
  out.sensor_lag_error = found.sensor_lag_s.value / house.sensors.building.lag_s - 1;
  out.signal_lag_error = found.signal_lag_s.value / house.sensors.signal.lag_s - 1;
  out.dead_band_error_frac = found.offset_frac.value - drive.dead_band_frac;
  out.misfit = run.fit.misfit;
  out.quality = run.fit.quality;
  return out;
}

control::Request tell_request(const control::DriveFound& found) {
  control::Request request;
  request.kind = control::RequestKind::tell_drive;
  request.drive = found;
  return request;
}

DriveRun run_drive_experiment(const HouseSpec& house, const Tool& tool, int restriction, std::uint64_t seed) {
  const Told told = told_of(house, tool.told, seed);
  control::EngineConfig config = config_of(house, tool, seed);
  config.fans[0].fitted = restriction;
  ClosedLoop loop(house, plant_seed(seed) ^ kOtherNoise, config);
  control::Request request;
  request.kind = control::RequestKind::learn_drive;
  request.volume_m3 = told.volume_m3;
  loop.request(request);

  DriveRun run;
  std::vector<control::DriveReading> readings;
  const double begin_s = loop.time_s();
  bool begun = false;
  while (loop.time_s() - begin_s < kLongest) {
    const control::StepOutput out = loop.tick();
    for (const control::Event& e : out.events) {
      begun = begun || e.kind == control::EventKind::drive_experiment_begun;
      run.whole = run.whole || (e.kind == control::EventKind::drive_experiment_ended && e.a == 1);
    }
    if (run.whole || loop.state().guard.trip.active()) break;
    if (!begun) continue;
    readings.push_back(control::drive_reading(out.trace, 0.1));
    run.highest_pa = std::max(run.highest_pa, loop.true_induced_pa());
    run.demand_most_frac = std::max(run.demand_most_frac, out.trace.demand_frac);
  }
  run.tripped = loop.state().guard.trip.active();
  run.lasted_s = 0.1 * static_cast<double>(readings.size());
  const control::FanCurve curve = *control::curve_or_guess(config.fans[0]);
  const control::FanMap map = control::fan_map_prior(!config.fans[0].curve.empty());
  run.fit =
      control::fit_drive(readings, control::plant_model(config, {curve, curve, curve, curve}, loop.state()),
                         map, told.volume_m3);
  return run;
}

}  // namespace leeward::sim
