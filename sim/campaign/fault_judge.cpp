#include "sim/campaign/fault_judge.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {
namespace {

constexpr double kBeyond = 5.0;     // Pa
constexpr double kForgotten = 3.0;  // s

}  // namespace

FaultJudge::FaultJudge(const FaultStage& stage, double ceiling_pa, double range_pa)
    : stage_(stage), ceiling_pa_(ceiling_pa), range_pa_(range_pa) {}

void FaultJudge::tell(FaultClock& clock, const FaultRule& rule, const FaultSight& sight, bool applies,
                      bool driven) const {
  constexpr double rounding = 1e-6;
  if (rule.seen == nullptr || !applies || !rule.seen(sight)) {
    clock.clean_s = now_s_;
    clock.observable = false;
    return;
  }
  if (now_s_ - clock.clean_s < rule.wait_s - rounding) return;
  const bool was_driven = sight.demand_frac > 0;
  if (!clock.observable && (driven || was_driven)) {
    clock.observable = clock.was_observable = true;
    clock.since_s = now_s_;
  }
  if (clock.observable && driven) clock.to_safe_s = std::max(clock.to_safe_s, now_s_ + 0.1 - clock.since_s);
}

/// Steps the copy as far as the house itself has gone on; makes it at the first sample that shows anything,
/// and lets go of it when nothing shows any more.
void FaultJudge::follow_twin(const ClosedLoop& loop, bool shows) {
  if (shows) shown_at_s_ = now_s_;
  if (!stopped_) {
    if (!shows) return;
    stopped_ = loop.plant();
    const control::FanCommand taken = stage_.as_taken({});
    stopped_->set_command(taken.demand_frac, taken.drive == control::Drive::drive);
    return;
  }
  stopped_->step(dt_s_);
  if (now_s_ - shown_at_s_ > kForgotten) stopped_.reset();
}

void FaultJudge::look(const ClosedLoop& loop, const control::Sample& sample, const control::StepOutput& out) {
  const Truth truth = loop.plant().truth();
  dt_s_ = truth.time_s - now_s_;
  now_s_ = truth.time_s;
  const control::EngineState& s = loop.state();
  const control::FanCommand& command = out.command.fans[0];
  const bool driven = command.drive == control::Drive::drive && command.demand_frac > 0;
  const double zero_pa = s.has_zero_flow ? s.zero_flow_pa : 0;
  const FaultSight sight{
      .sample = sample,
      .before = before_,
      .read_induced_pa = control::along(s.direction, sample.building_pressure_pa.value - zero_pa),
      .true_induced_pa = control::along(s.direction, truth.building_pressure_pa - zero_pa),
      .zero_flow_sd_pa = s.zero_flow_sd_pa,
      .demand_frac = demand_frac_,
      .speed_frac = truth.fans[0].speed_frac,
      .surely_frac = s.sure_frac,
      .ceiling_pa = ceiling_pa_,
      .range_pa = range_pa_};
  tell(fault_, fault_rule(stage_.kind()), sight, stage_.begun(), driven);
  tell(ceiling_, over_pressure_rule(), sight, true, driven);
  follow_twin(loop, fault_.observable || over_pressure_rule().seen(sight));
  const auto beyond = [this](const Plant& plant) {
    return std::abs(plant.truth().building_pressure_pa) > ceiling_pa_ + kBeyond;
  };
  const bool turning = demand_frac_ > 0 || truth.fans[0].speed_frac > 0.05;
  if (std::abs(truth.building_pressure_pa) > ceiling_pa_) beyond_at_s_ = now_s_;
  if (beyond(loop.plant()) && turning && !(stopped_ && beyond(*stopped_))) {
    episode_s_ = now_s_ - episode_at_s_ < kForgotten ? episode_s_ + dt_s_ : dt_s_;
    episode_at_s_ = now_s_;
    beyond_s_ = std::max(beyond_s_, episode_s_);
  }
  before_ = sample;
  demand_frac_ = driven ? command.demand_frac : 0;
}

}  // namespace leeward::sim
