#include "control/procedure/learn_drive.hpp"

#include <algorithm>

#include "control/procedure/asks.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastKept = 1e-6;  // a demand of 0 would mean that none is kept

void experiment_over(Scene& scene, bool whole) {
  EngineState& s = scene.state;
  const DriveExperimentState& e = s.sequencer.experiment;
  scene.events.push_back({EventKind::drive_experiment_ended, whole ? 1 : 0, 0, e.highest_pa, e.total_s});
  s.sequencer.learnt_drive = true;
  if (s.run_state == RunState::running)
    enter_phase(scene, Phase::look_round);
  else
    end_by_hand(scene);
}

}  // namespace

void uncover_to_learn(Scene& scene) noexcept {
  enter_phase(scene, Phase::learn_drive);
  scene.state.sequencer.learns_drive = false;
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    open_ask(scene, {.kind = AskKind::uncover_fan, .fan = static_cast<int>(i)});
}

Want step_learn_drive(Scene& scene) noexcept {
  EngineState& s = scene.state;
  if (hands_at_fan(s)) return {};
  DriveExperimentState& e = s.sequencer.experiment;
  if (e.total_s == 0) scene.events.push_back({EventKind::drive_experiment_begun, 0, 0, 0, 0});
  double limit_pa = scene.config.look_round_pa;
  if (s.run_state == RunState::running) limit_pa = std::min(limit_pa, s.run.procedure.look_round_pa);
  const DriveExperimentOutput out =
      drive_experiment_step(e, {scene.sight.dt_s, scene.sight.induced_pa, scene.sight.demand_frac,
                                std::max(kLeastKept, scene.config.fans[0].min_demand_frac), limit_pa});
  if (out.done) {
    experiment_over(scene, true);
    return {};
  }
  return {out.drive, out.target_pa, 0, out.keep_frac};
}

}  // namespace leeward::control
