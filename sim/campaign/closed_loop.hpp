#pragma once
/// The engine against the simulated house, at full speed, with a crew that does at once what is asked.

#include <cmath>
#include <functional>
#include <vector>

#include "control/engine.hpp"
#include "sim/plant.hpp"

namespace leeward::sim {

/// A rig for a house: the house's own fans, with the restrictions that their files name.
[[nodiscard]] inline control::EngineConfig rig_for(const HouseSpec& house) {
  control::EngineConfig config;
  config.rig_name = "campaign-rig";
  for (const FanUnitSpec& unit : house.fans) config.fans.push_back(unit.fan);
  return config;
}

class ClosedLoop {
 public:
  ClosedLoop(const HouseSpec& house, std::uint64_t seed, const control::EngineConfig& config)
      : plant_(house, seed), engine_(config), state_(engine_.initial_state()) {
    for (std::size_t i = 0; i < config.fans.size(); ++i)
      plant_.set_fitted(config.fans[i].fitted, static_cast<int>(i));
    for (int i = 0; i < plant_.fan_count(); ++i) plant_.set_covered(false, i);
  }
  ClosedLoop(const HouseSpec& house, std::uint64_t seed) : ClosedLoop(house, seed, rig_for(house)) {}

  Plant& plant() { return plant_; }
  const Plant& plant() const { return plant_; }
  const control::EngineState& state() const { return state_; }
  const control::Engine& engine() const { return engine_; }
  double time_s() const { return static_cast<double>(stamp_ns_) * 1e-9; }
  const std::vector<control::Event>& events() const { return events_; }

  void request(const control::Request& r) { requests_.push_back(r); }
  void drop_requests() { requests_.clear(); }
  void set_crew(bool on) { crew_ = on; }
  /// The restriction that the crew fits for the one that an ask names; by default that one.
  std::function<int(int)> fits;
  /// Changes each sample before the engine sees it.
  std::function<void(control::Sample&)> tamper;
  /// Changes what a drive takes each command for.
  std::function<control::FanCommand(const control::FanCommand&)> tamper_command;
  /// The crew's time for a change of restriction.
  double fit_takes_s = 0;

  control::StepOutput tick() {
    plant_.step(0.1);
    stamp_ns_ += 100'000'000;
    control::Sample sample = read();
    if (tamper) tamper(sample);
    const control::StepOutput out = engine_.step(state_, sample, requests_);
    requests_.clear();
    for (const control::Event& e : out.events) events_.push_back(e);
    for (int i = 0; i < plant_.fan_count(); ++i) {
      control::FanCommand c = out.command.fans[static_cast<std::size_t>(i)];
      if (tamper_command) c = tamper_command(c);
      plant_.set_command(c.demand_frac, c.drive == control::Drive::drive, i);
    }
    if (crew_) answer_asks();
    return out;
  }

  /// The house goes on without the engine.
  void sleep(double seconds) {
    for (int i = 0; i < static_cast<int>(std::lround(seconds * 10)); ++i) {
      plant_.step(0.1);
      stamp_ns_ += 100'000'000;
    }
  }

  void run_for(double seconds) {
    for (int i = 0; i < static_cast<int>(std::lround(seconds * 10)); ++i) (void)tick();
  }

  /// @returns whether it became true within the time
  bool run_until(const std::function<bool()>& done, double at_most_s) {
    for (int i = 0; i < static_cast<int>(at_most_s * 10); ++i) {
      (void)tick();
      if (done()) return true;
    }
    return false;
  }

  /// Takes the zero-flow pressure and holds; for step tests.
  void baseline(double seconds) {
    control::Request r;
    r.kind = control::RequestKind::baseline;
    r.duration_s = seconds;
    request(r);
    run_until([&] { return state_.has_zero_flow && state_.phase == control::Phase::idle; }, seconds + 10);
  }
  void hold(double target_pa, double volume_m3 = 0) {
    control::Request r;
    r.kind = control::RequestKind::hold;
    r.target_pa = target_pa;
    r.look_round_done = true;
    r.max_s = 86400;
    r.volume_m3 = volume_m3;
    request(r);
  }

  /// What is, along the direction of the test, against the zero-flow pressure that the engine uses.
  double true_induced_pa() const {
    return control::along(state_.direction, plant_.truth().building_pressure_pa - state_.zero_flow_pa);
  }

 private:
  control::Sample read() {
    const Measurement m = plant_.measure();
    control::Sample s;
    s.stamp_ns = stamp_ns_;
    s.device = control::DeviceStatus::ok;
    const auto good = [&](double v) { return control::Reading{v, stamp_ns_, control::Quality::good}; };
    s.building_pressure_pa = good(m.building_pressure_pa);
    s.indoor_c = good(m.indoor_c);
    s.outdoor_c = good(m.outdoor_c);
    for (int i = 0; i < plant_.fan_count(); ++i)
      s.fans[static_cast<std::size_t>(i)].signal_pa = good(m.fans[static_cast<std::size_t>(i)].signal_pa);
    return s;
  }

  void answer_asks() {
    for (const control::Ask& ask : state_.asks) {
      const bool is_fit = ask.kind == control::AskKind::fit_restriction;
      if (is_fit && static_cast<double>(stamp_ns_ - ask.at_ns) * 1e-9 < fit_takes_s) continue;
      if (ask.kind == control::AskKind::cover_fan) plant_.set_covered(true, ask.fan);
      if (ask.kind == control::AskKind::uncover_fan) plant_.set_covered(false, ask.fan);
      if (ask.kind == control::AskKind::fit_restriction)
        plant_.set_fitted(fits ? fits(ask.restriction) : ask.restriction, ask.fan);
      if (ask.kind == control::AskKind::turn_fan) plant_.set_direction(ask.direction);
      if (requests_.size() >= control::kMaxRequestsPerTick) break;
      control::Request r;
      r.kind = control::RequestKind::answer;
      r.ask_id = ask.id;
      r.answer = control::Answer::done;
      requests_.push_back(r);
    }
  }

  Plant plant_;
  control::Engine engine_;
  control::EngineState state_;
  std::int64_t stamp_ns_ = 0;
  std::vector<control::Request> requests_;
  std::vector<control::Event> events_;
  bool crew_ = true;
};

}  // namespace leeward::sim
