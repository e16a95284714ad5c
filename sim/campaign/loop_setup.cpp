#include "sim/campaign/loop_setup.hpp"

namespace leeward::sim {

std::uint64_t plant_seed(std::uint64_t seed) { return seed ^ 0x9E3779B97F4A7C15U; }

control::EngineConfig config_of(const HouseSpec& house, const Tool& tool, std::uint64_t seed) {
  control::EngineConfig config = rig_for(house);
  tell_drive(house, tool.told, seed, config.regulator);
  overlay(tool.regulator, config.regulator);
  return config;
}

ClosedLoop loop_of(const HouseSpec& house, const Tool& tool, int restriction, std::uint64_t seed) {
  control::EngineConfig config = config_of(house, tool, seed);
  config.fans[0].fitted = restriction;
  ClosedLoop loop(house, plant_seed(seed), config);
  loop.plant().set_covered(true);
  return loop;
}

double covered_mean_pa(ClosedLoop& loop, double seconds) {
  control::Request request;
  request.kind = control::RequestKind::baseline;
  request.duration_s = seconds;
  loop.request(request);
  double sum = 0;
  int samples = 0;
  const auto most = static_cast<int>((seconds + 10) * 10);
  while (samples < most && !(loop.state().has_zero_flow && loop.state().phase == control::Phase::idle)) {
    (void)loop.tick();
    sum += loop.plant().truth().building_pressure_pa;
    ++samples;
  }
  loop.plant().set_covered(false);
  return sum / samples;
}

control::Request hold_request(double target_pa, const Told& told) {
  control::Request request;
  request.kind = control::RequestKind::hold;
  request.target_pa = target_pa;
  request.look_round_done = true;
  request.max_s = 86400;
  request.volume_m3 = told.volume_m3;
  return request;
}

double induced_by_truth_pa(ClosedLoop& loop, double zero_pa) {
  return control::along(loop.state().direction, loop.plant().truth().building_pressure_pa - zero_pa);
}

}  // namespace leeward::sim
