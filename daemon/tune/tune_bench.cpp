#include "daemon/tune/tune_bench.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "control/signs.hpp"

namespace leeward::daemon {
namespace {

using control::Request;
using control::RequestKind;

constexpr double kLongestHold = 86400;  // s: the bench ends it itself

sim::HouseSpec with_fans_of(const control::EngineConfig& rig, sim::HouseSpec house) {
  const sim::FanUnitSpec unit = house.fans.empty() ? sim::FanUnitSpec{} : house.fans[0];
  sim::FanUnits fans;
  for (std::size_t i = 0; i < rig.fans.size(); ++i) {
    sim::FanUnitSpec own = i < house.fans.size() ? house.fans[i] : unit;
    own.fan = rig.fans[i];
    fans.push_back(own);
  }
  house.fans = fans;
  return house;
}

}  // namespace

TuneBench::TuneBench(const control::EngineConfig& rig, sim::HouseSpec house, std::uint64_t seed)
    : plant_(with_fans_of(rig, std::move(house)), seed),
      engine_(rig),
      state_(engine_.initial_state()),
      curve_(*control::curve_or_guess(rig.fans[0])) {
  for (std::size_t i = 0; i < rig.fans.size(); ++i) {
    plant_.set_fitted(rig.fans[i].fitted, static_cast<int>(i));
    plant_.set_covered(false, static_cast<int>(i));
  }
}

void TuneBench::tick() {
  plant_.step(period_s());
  stamp_ns_ += static_cast<std::int64_t>(std::llround(1e9 * period_s()));
  const control::StepOutput out = engine_.step(state_, read(), requests_);
  requests_.clear();
  if (!out.refusals.empty()) last_refusal_ = out.refusals[0];
  fresh_ = out.trace.pressure_good;
  for (int i = 0; i < plant_.fan_count(); ++i) {
    const control::FanCommand& c = out.command.fans[static_cast<std::size_t>(i)];
    plant_.set_command(c.demand_frac, c.drive == control::Drive::drive, i);
  }
  record_.demand_frac.push_back(state_.applied_frac);
  record_.pressure_pa.push_back(state_.induced_pa);
  most_true_pa_ = std::max(most_true_pa_, std::abs(plant_.truth().building_pressure_pa));
  answer_asks();
}

void TuneBench::tick_for(double seconds) {
  for (double t = 0; t < seconds; t += period_s()) tick();
}

bool TuneBench::tick_until(const std::function<bool()>& done, double at_most_s) {
  for (double t = 0; t < at_most_s && !trip().active(); t += period_s()) {
    tick();
    if (done()) return true;
  }
  return false;
}

control::Refusal TuneBench::ask(const Request& request) {
  requests_.insert(requests_.begin(), request);
  last_refusal_ = control::Refusal::accepted;
  tick();
  return last_refusal_;
}

bool TuneBench::take_baseline(double seconds) {
  Request r;
  r.kind = RequestKind::baseline;
  r.duration_s = seconds;
  const auto covered = [&](bool on) {
    for (int i = 0; i < plant_.fan_count(); ++i) plant_.set_covered(on, i);
  };
  covered(true);
  if (ask(r) != control::Refusal::accepted) return false;
  const bool taken = tick_until([&] { return state_.has_zero_flow && state_.phase == control::Phase::idle; },
                                2 * seconds + 60);
  covered(false);
  return taken;
}

control::Refusal TuneBench::hold(double pa) {
  Request r;
  r.kind = RequestKind::hold;
  r.target_pa = pa;
  r.max_s = kLongestHold;
  r.look_round_done = true;  // nobody lives in a simulated house
  r.volume_m3 = plant_.house().volume_m3;
  return ask(r);
}

control::Refusal TuneBench::keep(double demand_frac) {
  Request r;
  r.kind = RequestKind::keep;
  r.keep_frac = demand_frac;
  return ask(r);
}

void TuneBench::stop() {
  Request r;
  r.kind = RequestKind::stop;
  (void)ask(r);
}

double TuneBench::true_pressure_pa() const {
  return control::along(state_.direction, plant_.truth().building_pressure_pa - state_.zero_flow_pa);
}

control::PlantView TuneBench::learnt() const {
  const control::FanSpec& fan = engine_.config().fans[0];
  return {.house = state_.house,
          .map = state_.fan_map,
          .curve = curve_,
          .restriction = fan.restrictions[static_cast<std::size_t>(state_.fans[0].fitted)],
          .fans = static_cast<int>(engine_.config().fans.size()),
          .volume_m3 = state_.volume_m3};
}

control::Sample TuneBench::read() const {
  const sim::Measurement m = plant_.measure();
  control::Sample s;
  s.stamp_ns = stamp_ns_;
  s.device = control::DeviceStatus::ok;
  const auto good = [&](double v) { return control::Reading{v, stamp_ns_, control::Quality::good}; };
  s.building_pressure_pa = good(m.building_pressure_pa);
  s.indoor_c = good(m.indoor_c);
  s.outdoor_c = good(m.outdoor_c);
  for (int i = 0; i < plant_.fan_count(); ++i) {
    const auto fan = static_cast<std::size_t>(i);
    s.fans[fan].signal_pa = good(m.fans[fan].signal_pa);
    s.fans[fan].speed_frac = good(m.fans[fan].speed_frac);
  }
  return s;
}

void TuneBench::answer_asks() {
  for (const control::Ask& a : state_.asks) {
    if (requests_.size() >= control::kMaxRequestsPerTick) break;
    if (a.kind == control::AskKind::cover_fan) plant_.set_covered(true, a.fan);
    if (a.kind == control::AskKind::uncover_fan) plant_.set_covered(false, a.fan);
    Request r;
    r.kind = RequestKind::answer;
    r.ask_id = a.id;
    r.answer = control::Answer::done;
    requests_.push_back(r);
  }
}

}  // namespace leeward::daemon
