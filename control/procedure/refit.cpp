#include "control/procedure/refit.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "control/physics/flow_element.hpp"
#include "control/procedure/asks.hpp"
#include "control/restriction/plan.hpp"

namespace leeward::control {
namespace {

constexpr std::int32_t kMostFits = 6;  // per direction: then the run goes on with what is fitted
constexpr double kVerifyTime = 4.0;    // s of steady pressure before the signal is believed
constexpr double kVerifySteady = 1.0;  // Pa between reading and smoothed reading
constexpr double kVerifyLeast = 0.25;  // ln of the flow ratio that is no scatter
constexpr double kVerifyTrust = 0.3;   // relative uncertainty up to which the old curve can judge

void ask_to_fit(Scene& scene, int restriction) {
  EngineState& s = scene.state;
  s.sequencer.fit_open = true;
  s.sequencer.fit_wanted = restriction;
  s.sequencer.fits += 1;
  s.sequencer.refit_asked = false;
  s.sequencer.house_at_fit = s.house;
  ask_at_rest(scene, HandsWork::fit);
}

/// The restriction that the signal fits best, were the house what it was before the change.
int best_explanation(const Scene& scene, double expected_m3_s, double& its_ratio) {
  const FanSpec& fan = scene.config.fans[0];
  int best = scene.state.fans[0].fitted;
  its_ratio = 1e9;
  for (std::size_t k = 0; k < fan.restrictions.size(); ++k) {
    const double flow = flow_m3_s(fan.restrictions[k], scene.sight.signal_pa[0]) *
                        static_cast<double>(scene.config.fans.size());
    const double ratio = flow > 0 ? std::log(flow / expected_m3_s) : 1e9;
    if (std::abs(ratio) < std::abs(its_ratio)) {
      its_ratio = ratio;
      best = static_cast<int>(k);
    }
  }
  return best;
}

}  // namespace

bool refit_if_better(Scene& scene) noexcept {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  if (q.fits >= kMostFits || s.house.informed_s <= 0) return false;
  const ProcedureSpec& p = s.run.procedure;
  const std::size_t from = s.phase == Phase::stations ? static_cast<std::size_t>(q.station) : 0;
  const std::span<const double> to_come(p.stations_pa.begin() + from, p.stations_pa.end());
  const RestrictionPlan plan =
      plan_restrictions(s.house, s.fan_map, scene.curves[0], scene.config.fans[0], to_come, s.fans[0].fitted,
                        static_cast<int>(scene.config.fans.size()));
  if (plan.fitted.empty() || plan.fitted[0] == s.fans[0].fitted) return false;
  ask_to_fit(scene, plan.fitted[0]);
  return true;
}

void note_hands_at_fan(Scene& scene) noexcept {
  SequencerState& q = scene.state.sequencer;
  q.settled_s = q.saturated_s = q.step_s = 0;
  if (q.fit_open && q.waiting == HandsWork::none && !any_open(scene.state, AskKind::fit_restriction)) {
    q.fit_open = false;
    q.verify = scene.state.fans[0].fitted == q.fit_wanted;
    q.verify_s = 0;
  }
}

void verify_fit(Scene& scene) noexcept {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  if (!q.verify || !scene.sight.fresh || !scene.sight.flow_good) return;
  const double pressure = q.smooth_induced_pa;
  const bool steady = pressure > 2.0 && std::abs(scene.sight.induced_pa - pressure) < kVerifySteady;
  q.verify_s = steady ? q.verify_s + scene.sight.dt_s : 0;
  if (q.verify_s < kVerifyTime) return;
  q.verify = false;
  const double expected = flow_at(q.house_at_fit, pressure);
  const double doubt = flow_relative_u_at(q.house_at_fit, pressure);
  if (doubt > kVerifyTrust || !(scene.sight.total_flow_m3_s > 0)) return;
  const double seen = std::log(scene.sight.total_flow_m3_s / expected);
  if (std::abs(seen) < std::max(kVerifyLeast, 3.0 * doubt)) return;
  double other_ratio = 0;
  const int other = best_explanation(scene, expected, other_ratio);
  if (other == s.fans[0].fitted || std::abs(other_ratio) > 0.5 * std::abs(seen)) return;
  scene.events.push_back({EventKind::restriction_mismatch, 0, other, std::exp(seen), 0});
  s.house = q.house_at_fit;  // what was learnt since rests on the wrong calibration
  if (q.refit_asked) return;
  q.refit_asked = true;
  q.fit_open = true;
  q.fit_wanted = s.fans[0].fitted;
  ask_at_rest(scene, HandsWork::fit);
}

}  // namespace leeward::control
