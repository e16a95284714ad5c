#include "control/procedure/refit.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <span>

#include "control/analysis/gust_estimate.hpp"
#include "control/physics/flow_element.hpp"
#include "control/procedure/asks.hpp"
#include "control/restriction/blind_start.hpp"
#include "control/restriction/plan.hpp"
#include "control/restriction/weak_look.hpp"

namespace leeward::control {
namespace {

constexpr std::int32_t kMostFits = 6;  // per direction: then the run goes on with what is fitted
// What a change must save, in changes, before the crew is sent to the fan; less where it is there anyway.
constexpr double kWorthAsking = 0.15;
// Before the first station a change breaks into nothing, and one restriction for the whole curve is worth
// more than a curve in two parts.
constexpr double kFirstChange = 0.6;
constexpr double kWorthBlind = 0.5;     // a guess must promise more
constexpr double kUnclear = 0.08;       // changes that a better look can save
constexpr double kTells = 0.8;          // probability that a closer look tells anything
constexpr double kMayServe = 0.3;       // probability
constexpr double kClearlyBetter = 0.5;  // probability of suiting the next station, above the fitted one's
constexpr double kLookTime = 10.0;      // s that a look at a pressure takes about
constexpr double kLeastLook = 5.0;      // Pa that a look is worth anything at
constexpr double kVerifyTime = 4.0;     // s of steady pressure before the signal is believed
constexpr double kVerifySteady = 1.0;   // Pa between reading and smoothed reading
constexpr double kVerifyLeast = 0.25;   // ln of the flow ratio that is no scatter
constexpr double kVerifyTrust = 0.3;    // relative uncertainty up to which the old curve can judge

void ask_to_fit(Scene& scene, int restriction, const FitPromise& promise) {
  EngineState& s = scene.state;
  s.sequencer.fit_open = true;
  s.sequencer.fit_wanted = restriction;
  s.sequencer.fit_promise = promise;
  s.sequencer.fits += 1;
  s.sequencer.refit_asked = false;
  s.sequencer.house_at_fit = s.house;
  ask_at_rest(scene, HandsWork::fit);
}

/// Relative standard uncertainty that gusts leave in a flow against pressure that was read over a while.
double gust_relative_u(const EngineState& s, double seconds) {
  const double pressure_pa = std::max(kLeastLook, s.sequencer.smooth_induced_pa);
  return exponent(s.house) * mean_sd_pa(s.gusts, seconds) / pressure_pa;
}

RestrictionView view_of(const Scene& scene, bool fitted_fails) {
  const EngineState& s = scene.state;
  const FanSpec& fan = scene.config.fans[0];
  // Gusts outlast the readings that the curve is learnt from, which take their errors for independent.
  const double gust_u = gust_relative_u(s, kLookTime);
  HouseCurve house = s.house;
  house.pair = forget(house.pair, gust_u * gust_u, 0);
  return {house,
          s.fan_map,
          scene.curves[0],
          fan,
          static_cast<int>(scene.config.fans.size()),
          std::min(scene.config.limits.demand_max_frac, fan.max_demand_frac),
          s.fans[0].fitted,
          fitted_fails};
}

std::span<const double> stations_to_come(const EngineState& s) {
  const FixedVector<double, kMaxStations>& all = s.run.procedure.stations_pa;
  const auto from =
      static_cast<std::size_t>(s.phase == Phase::stations ? s.sequencer.station : s.sequencer.first_station);
  return {all.begin() + std::min(from, all.size()), all.end()};
}

FitPromise promise_of(const ServedTable& table, const RestrictionPlan& plan, int fitted) {
  const StationSet unserved = unserved_stations(table);
  const int first = plan.fitted[0];
  StationSet meant = 0;
  for (std::size_t s = 0; s < table.stations && plan.fitted[s] == first; ++s) meant |= StationSet{1} << s;
  meant &= ~unserved;
  return {.known = true,
          .blind = false,
          .stations_to_come = static_cast<int>(table.stations),
          .stations_meant = std::popcount(meant),
          .serves_p = serves_p(table, first, meant),
          .fitted_p = serves_p(table, fitted, meant),
          .stations_unserved = std::popcount(unserved)};
}

/// Half-way, as the curve goes, between the look-round and the highest station.
double closer_look_pa(const ProcedureSpec& p) {
  const double highest = *std::max_element(p.stations_pa.begin(), p.stations_pa.end());
  return std::sqrt(p.look_round_pa * highest);
}

bool worth_asking(const ServedTable& table, const RestrictionPlan& plan, int fitted) {
  if (plan.stay_changes - plan.expected_changes >= kWorthAsking) return true;
  // Staying costs no more changes, but one that is due is better made before the fan has climbed in vain.
  return suits_first_p(table, plan.fitted[0]) - suits_first_p(table, fitted) > kClearlyBetter;
}

/// Many readings in the noise seem to tell more than they do: the look as a whole is weighed in their place.
void judge_weak_signal(Scene& scene) {
  EngineState& s = scene.state;
  const double pressure_pa = s.sequencer.smooth_induced_pa;
  const double signal_pa = s.sequencer.smooth_signal_pa;
  if (!is_weak(signal_pa) || s.sequencer.direction_index > 0 || s.sequencer.fits > 1 || !(pressure_pa > 2.0))
    return;
  const FanSpec& fan = scene.config.fans[0];
  const double informed_s = s.house.informed_s;
  s.house =
      after_weak_look(house_prior(s.volume_m3), fan.restrictions[static_cast<std::size_t>(s.fans[0].fitted)],
                      {pressure_pa, signal_pa, static_cast<int>(scene.config.fans.size())});
  s.house.informed_s = informed_s;
}

/// Notes a closer look where it promises a better choice than one made now.
bool looks_closer_first(Scene& scene, const RestrictionPlan& plan) {
  const ProcedureSpec& p = scene.state.run.procedure;
  const double at_pa = closer_look_pa(p);
  if (plan.regret_changes < kUnclear || at_pa < 1.2 * p.look_round_pa) return false;
  if (tells_p(view_of(scene, false), at_pa) < kTells) return false;
  scene.state.sequencer.closer_look_pa = at_pa;
  return true;
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

bool refit_if_better(Scene& scene, RefitCause cause) noexcept {
  const EngineState& s = scene.state;
  const bool fails = cause == RefitCause::fitted_fails;
  if (s.sequencer.fits >= kMostFits || (s.house.informed_s <= 0 && !fails)) return false;
  if (s.phase == Phase::look_round) judge_weak_signal(scene);
  const int fitted = s.fans[0].fitted;
  const ServedTable table = served_table(view_of(scene, fails), stations_to_come(s));
  const RestrictionPlan plan =
      plan_restrictions(table, fitted, s.phase == Phase::stations ? 1.0 : kFirstChange);
  if (plan.fitted.empty()) return false;
  if (cause == RefitCause::first_look && looks_closer_first(scene, plan)) return false;
  if (plan.fitted[0] == fitted || (!fails && !worth_asking(table, plan, fitted))) return false;
  ask_to_fit(scene, plan.fitted[0], promise_of(table, plan, fitted));
  return true;
}

bool fitted_may_serve(const Scene& scene) noexcept {
  const RestrictionView view = view_of(scene, false);
  return serves_p(served_table(view, stations_to_come(scene.state)), view.fitted, 1U) > kMayServe;
}

void ask_first_restriction(Scene& scene) noexcept {
  const EngineState& s = scene.state;
  if (s.house.informed_s > 0) {
    (void)refit_if_better(scene, RefitCause::planned);
    return;
  }
  const RestrictionView view = view_of(scene, false);
  const BlindStart start = blind_start(view, stations_to_come(s), s.run.procedure.look_round_pa);
  if (start.fitted_changes - start.changes < kWorthBlind) return;
  const ServedTable table = served_table(view, stations_to_come(s));
  const StationSet all = (StationSet{1} << table.stations) - 1;
  const FitPromise promise{.known = true,
                           .blind = true,
                           .stations_to_come = static_cast<int>(table.stations),
                           .stations_meant = static_cast<int>(table.stations),
                           .serves_p = serves_p(table, start.restriction, all),
                           .fitted_p = serves_p(table, view.fitted, all),
                           .stations_unserved = 0};
  ask_to_fit(scene, start.restriction, promise);
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
  const double gust_u = std::sqrt(2.0) * gust_relative_u(s, kVerifyTime);  // then and now
  const double doubt = std::hypot(flow_relative_u_at(q.house_at_fit, pressure), gust_u);
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
