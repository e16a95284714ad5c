#pragma once
/// What the engine promises at each step, whatever it was fed.

#include <algorithm>
#include <cmath>
#include <span>

#include "control/engine.hpp"
#include "control/procedure/sequencer.hpp"
#include "control/seconds_between.hpp"
#include "tests/fuzz/finite.hpp"
#include "tests/fuzz/require.hpp"

namespace leeward::fuzz {

class EnginePromises {
 public:
  EnginePromises(const control::EngineConfig& config, const control::EngineState& state)
      : config_(config), now_ns_(state.now_ns) {}

  void check(const control::EngineState& s, const control::Sample& sample,
             std::span<const control::Request> requests, const control::StepOutput& out) {
    const double dt_s = control::seconds_between(now_ns_, s.now_ns);
    command(s, out, dt_s);
    requests_judged(s, requests, out);
    ceiling(s, out, dt_s);
    trip(s, out);
    stops(s, out);
    presence(s, out);
    blindness(s, sample, out, dt_s);
    results(s, out);
    remember(s, out);
  }

  /// At the end of an execution: nothing that is no number has got into what is remembered.
  static void memory(const control::EngineState& s) {
    require(all_finite(s.house) && all_finite(s.fan_map) && all_finite(s.plant),
            "what is learnt of house and fan is finite");
    require(no_nan(s.regulator), "the regulator holds numbers");
    require(all_finite(s.guard), "the guard holds finite numbers");
    require(all_finite(s.presence), "the time without a sign of life is finite");
    require(all_finite(s.sequencer), "the sequencer holds finite numbers");
    require(all_finite(s.pressure_screen) && all_finite(s.signal_screens), "the screens hold finite numbers");
    require(std::isfinite(s.zero_flow_pa) && std::isfinite(s.induced_pa) && std::isfinite(s.target_pa),
            "pressures that are remembered are finite");
  }

 private:
  static bool has(const control::StepOutput& out, control::EventKind kind) {
    return std::ranges::any_of(out.events, [kind](const control::Event& e) { return e.kind == kind; });
  }
  static bool drives(const control::StepOutput& out) {
    return out.command.fans[0].drive == control::Drive::drive;
  }

  void command(const control::EngineState& s, const control::StepOutput& out, double dt_s) const {
    const control::FanCommand& first = out.command.fans[0];
    require(std::isfinite(first.demand_frac), "the command is finite");
    require(first.demand_frac >= 0 && first.demand_frac <= config_.limits.demand_max_frac,
            "the command is within 0 and the limit");
    require(first.demand_frac <= config_.fans[0].max_demand_frac,
            "the command is within the fan's own limit");
    require(first.drive == control::Drive::drive || first.demand_frac == 0, "off has no demand");
    for (std::size_t i = 1; i < out.command.fans.size(); ++i)
      require(out.command.fans[i] == (i < config_.fans.size() ? first : control::FanCommand{}),
              "all fans of the rig are told the same, others nothing");
    require(all_finite(out.trace), "the trace holds finite numbers");
    if (!drives(out)) return;
    require(!control::hands_at_fan(s), "the fan is off while hands are at it");
    // A phase that ends in this tick has had its say already.
    require(s.guard.trip.active() || may_drive(s, s.phase) || may_drive(s, phase_),
            "the fan drives only in a phase that asks for it");
    slew(s, out, dt_s);
  }

  static void presence(const control::EngineState& s, const control::StepOutput& out) {
    if (!control::keeps_low(s.presence)) return;
    require(s.run_state == control::RunState::running, "only a run asks for a sign of life");
    require(!control::may_pause(s) || s.target_pa <= s.run.procedure.look_round_pa,
            "without a sign of life nothing above the look-round is wanted");
    require(!drives(out) || s.presence.silent_s < control::silence_allowed_s(s.presence, s.run.presence_s),
            "the fan is not driven on after two intervals without a sign of life");
  }

  static bool may_drive(const control::EngineState& s, control::Phase phase) {
    using control::Phase;
    if (phase == Phase::learn_drive) return true;
    if (!s.has_zero_flow) return false;
    return phase == Phase::look_round || phase == Phase::climb || phase == Phase::stations ||
           phase == Phase::hold;
  }

  /// The plain law's limit and the model's lead are never added to one another by more than a jump into the
  /// range in which the fan runs, or a demand that was asked for within a hold.
  void slew(const control::EngineState& s, const control::StepOutput& out, double dt_s) const {
    constexpr double lead_s = 0.4;
    constexpr double widest_scale = 2;
    constexpr double furthest_kept = 0.1;
    constexpr double longest_tick_s = 2;
    const double slew_s = s.drive.known ? s.drive.slew_s.value : config_.regulator.drive_slew_s;
    const double by_time = std::clamp(dt_s, 0.0, longest_tick_s);
    const double most = config_.regulator.demand_slew_per_s * by_time +
                        widest_scale * (lead_s + by_time) / std::max(0.1, slew_s) +
                        config_.fans[0].min_demand_frac + furthest_kept;
    require(out.command.fans[0].demand_frac <= last_demand_ + most, "the demand rises within its slew limit");
  }

  void requests_judged(const control::EngineState& s, std::span<const control::Request> requests,
                       const control::StepOutput& out) {
    require(out.refusals.size() == std::min(requests.size(), control::kMaxRequestsPerTick),
            "each request is answered");
    cleared_ = false;
    for (std::size_t i = 0; i < out.refusals.size(); ++i) {
      const control::Request& r = requests[i];
      if (out.refusals[i] != control::Refusal::accepted) continue;
      if (r.kind == control::RequestKind::clear_trip) cleared_ = true;
      const bool moves = r.kind == control::RequestKind::hold || r.kind == control::RequestKind::climb;
      if (!moves) continue;
      require(r.target_pa >= 1 && r.target_pa <= config_.limits.building_pressure_max_pa,
              "only a target within the limits is accepted");
      require(r.look_round_done || r.target_pa <= config_.look_round_pa,
              "above the look-round pressure only with the crew's word");
    }
    const bool waits = s.run_state == control::RunState::running && !s.look_round_done;
    if (waits && drives(out) && !s.guard.trip.active())
      require(out.trace.target_pa <= s.run.procedure.look_round_pa,
              "never above the look-round pressure before the crew has answered");
  }

  void ceiling(const control::EngineState&, const control::StepOutput& out, double) const {
    if (!out.trace.pressure_good) return;
    if (std::abs(out.trace.pressure_signed_pa) > config_.limits.building_pressure_max_pa)
      require(out.command.fans[0].demand_frac == 0, "beyond the ceiling the demand is cut in the same tick");
  }

  void trip(const control::EngineState& s, const control::StepOutput& out) const {
    const bool active = s.guard.trip.active();
    if (tripped_ && !cleared_) require(active, "a trip stays until a person clears it");
    const bool is_new = active && (!tripped_ || cleared_);
    require(is_new == has(out, control::EventKind::tripped), "a trip is told when it comes, and only then");
    require(out.trace.trip == s.guard.trip.cause, "the trace names the trip");
    if (!active) return;
    require(s.guard.trip.mode != control::StopMode::cut || !drives(out), "a trip that cuts has the fan off");
    require(out.command.fans[0].demand_frac <= last_demand_, "the demand never rises in a trip");
    constexpr double off_within_s = 0.7;
    if (control::seconds_between(s.guard.trip.at_ns, s.now_ns) > off_within_s)
      require(!drives(out), "a ramp is off within 0.7 s");
  }

  void stops(const control::EngineState& s, const control::StepOutput& out) const {
    if (drove_ && !drives(out))
      require(!out.events.empty() || out.trace.limited_by != control::LimitedBy::nothing,
              "every stop has its reason in events or trace");
    const bool ended = run_state_ == control::RunState::running && s.run_state != control::RunState::running;
    if (ended) require(has(out, control::EventKind::run_ended), "the end of a run is told");
  }

  /// Whatever is missing, frozen or out of range: a fan that is driven has been seen to a moment ago.
  void blindness(const control::EngineState& s, const control::Sample& sample, const control::StepOutput& out,
                 double dt_s) {
    const control::Reading& r = sample.building_pressure_pa;
    const bool believable = r.quality == control::Quality::good && std::isfinite(r.value) &&
                            std::abs(r.value) <= config_.limits.sensor_range_pa;
    if (believable) believable_ns_ = s.now_ns;
    constexpr double ramp_s = 0.7;
    const double allowed_s = config_.limits.missing_sample_s + ramp_s + 2 * dt_s;
    if (drives(out))
      require(control::seconds_between(believable_ns_, s.now_ns) <= allowed_s,
              "the fan is not driven without a look at the pressure");
  }

  void results(const control::EngineState& s, const control::StepOutput& out) {
    const bool measures = s.phase == control::Phase::stations && believable_ns_ == s.now_ns;
    if (has(out, control::EventKind::run_started)) looks_ = 0;
    looks_ += measures ? 1 : 0;
    if (!has(out, control::EventKind::result_ready)) return;
    require(s.result.computed || !s.result.valid, "a result that was not computed is not valid");
    require(s.run_state == (s.result.valid ? control::RunState::done : control::RunState::invalid),
            "a run without a valid result does not count as done");
    require(all_finite(s.result), "a result holds finite numbers");
    require(looks_ > 0 || !s.result.computed, "nothing is computed from no readings");
  }

  void remember(const control::EngineState& s, const control::StepOutput& out) {
    now_ns_ = s.now_ns;
    drove_ = drives(out);
    last_demand_ = out.command.fans[0].demand_frac;
    tripped_ = s.guard.trip.active();
    run_state_ = s.run_state;
    phase_ = s.phase;
  }

  const control::EngineConfig& config_;
  std::int64_t now_ns_;
  std::int64_t believable_ns_ = 0;
  bool drove_ = false;
  bool tripped_ = false;
  bool cleared_ = false;
  double last_demand_ = 0;
  int looks_ = 0;
  control::Phase phase_ = control::Phase::idle;
  control::RunState run_state_ = control::RunState::none;
};

}  // namespace leeward::fuzz
