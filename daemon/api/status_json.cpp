#include "daemon/api/status_json.hpp"

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <ctime>

#include <nlohmann/json.hpp>

#include "daemon/api/plan_json.hpp"
#include "daemon/report/run_left.hpp"
#include "daemon/words/json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/sentences.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

json number_or_null(bool known, double value) {
  return known && std::isfinite(value) ? json(value) : json(nullptr);
}

// The usual factor of a 95 % interval of a normal distribution.
constexpr double kCoverage = 1.96;

json interval_json(double value, double relative_u) {
  return {{"value", value},
          {"low", value * std::exp(-kCoverage * relative_u)},
          {"high", value * std::exp(kCoverage * relative_u)}};
}

}  // namespace

/// The house curve as learnt so far; nothing while it is only believed beforehand.
json estimates_json(const Snapshot& snapshot) {
  const control::HouseCurve& house = snapshot.state.house;
  if (house.informed_s <= 0) return {{"c_m3_h_pan", nullptr}, {"n", nullptr}, {"q50_m3_h", nullptr}};
  constexpr double kSecondsPerHour = 3600;
  constexpr double kReferencePa = 50;
  const double n = control::exponent(house);
  const double n_margin = kCoverage * snapshot.trace.n_u;
  const double c_m3_h = kSecondsPerHour * std::exp(control::ln_c(house));
  const double q_m3_h = kSecondsPerHour * control::flow_at(house, kReferencePa);
  return {{"c_m3_h_pan", interval_json(c_m3_h, control::flow_relative_u_at(house, 1))},
          {"n", {{"value", n}, {"low", n - n_margin}, {"high", n + n_margin}}},
          {"q50_m3_h", interval_json(q_m3_h, control::flow_relative_u_at(house, kReferencePa))}};
}

namespace {

std::string_view recorder_word(RecordingState state) {
  if (state == RecordingState::recording) return "recording";
  return state == RecordingState::failed ? "failed" : "idle";
}

json recorder_fault_json(RecordingFault fault) {
  return fault == RecordingFault::none ? json(nullptr) : json(recording_fault_text(fault));
}

/// Of the same recording as the run id. Null before the first: that it has none is no state of a run.
json run_state_json(const Snapshot& snapshot) {
  const control::RunState state = run_state_of(snapshot);
  return state == control::RunState::none ? json(nullptr) : json(name_of(state));
}

/// With the fan off or a signal below what the restriction is calibrated for, the figure is noise.
bool has_flow(const Snapshot& snapshot, const control::EngineConfig& config, std::size_t fan) {
  const control::FanSetup& setup = snapshot.state.fans[fan];
  const auto fitted = static_cast<std::size_t>(setup.fitted);
  const auto& restrictions = config.fans[fan].restrictions;
  if (!snapshot.outputs[fan].enabled || setup.covered || fitted >= restrictions.size()) return false;
  return snapshot.sample.fans[fan].signal_pa.quality == control::Quality::good &&
         snapshot.trace.signal_pa[fan] >= restrictions[fitted].signal_min_pa;
}

bool is_idle(const Snapshot& snapshot) { return snapshot.state.phase == control::Phase::idle; }
}  // namespace

std::string utc_text(std::int64_t unix_ms) {
  const std::time_t seconds = unix_ms / 1000;
  std::tm parts{};
  if (gmtime_r(&seconds, &parts) == nullptr) return {};
  std::array<char, 32> text{};
  const std::size_t size = std::strftime(text.data(), text.size(), "%Y-%m-%dT%H:%M:%SZ", &parts);
  return {text.data(), size};
}

json building_pressure_json(const Snapshot& snapshot) {
  const auto& reading = snapshot.sample.building_pressure_pa;
  return number_or_null(reading.quality == control::Quality::good, reading.value);
}

json induced_pressure_json(const Snapshot& snapshot) {
  const auto& reading = snapshot.sample.building_pressure_pa;
  const bool known = snapshot.state.has_zero_flow && reading.quality == control::Quality::good;
  return number_or_null(known, reading.value - snapshot.state.zero_flow_pa);
}

json target_json(const Snapshot& snapshot) {
  return number_or_null(snapshot.state.target_pa > 0, snapshot.state.target_pa);
}

json countdown_json(const Snapshot& snapshot) {
  return number_or_null(snapshot.state.countdown_s > 0, snapshot.state.countdown_s);
}

json phase_left_json(const Snapshot& snapshot) {
  return number_or_null(snapshot.trace.phase_left_s > 0, snapshot.trace.phase_left_s);
}

json run_left_json(const Snapshot& snapshot) {
  const auto left_s = run_left_s(snapshot.state, snapshot.trace.phase_left_s);
  return left_s ? json(std::round(*left_s)) : json(nullptr);
}

namespace {

std::string_view presence_word(const control::PresenceState& presence) {
  if (presence.stage == control::PresenceStage::lowered) return "lowered";
  if (presence.stage == control::PresenceStage::back) return "back";
  return presence.warned ? "due" : "here";
}

}  // namespace

json presence_json(const Snapshot& snapshot) {
  const control::PresenceState& presence = snapshot.state.presence;
  if (presence.stage == control::PresenceStage::off) return nullptr;
  const double interval_s = snapshot.state.run.presence_s;
  const double left_s = control::silence_allowed_s(presence, interval_s) - presence.silent_s;
  return {{"interval_s", interval_s},
          {"left_s", number_or_null(presence.counts, std::max(0.0, left_s))},
          {"state", presence_word(presence)}};
}

std::string sentence_of(const Snapshot& snapshot) {
  return phase_text(snapshot.trace, snapshot.state.sequencer.paused,
                    control::keeps_low(snapshot.state.presence));
}

json trip_json(const Snapshot& snapshot) {
  const control::Trip& trip = snapshot.state.guard.trip;
  if (!trip.active()) return nullptr;
  // The trip carries engine time; the sample ties that to the calendar.
  const std::int64_t ago_ms = (snapshot.state.now_ns - trip.at_ns) / 1'000'000;
  return {{"cause", name_of(trip.cause)},
          {"text", trip_text(trip)},
          {"at", utc_text(snapshot.sample.wall_unix_ms - ago_ms)},
          {"seen", trip.seen},
          {"limit", trip.limit}};
}

json fan_json(const Snapshot& snapshot, const control::EngineConfig& config, std::size_t fan) {
  const control::FanSetup& setup = snapshot.state.fans[fan];
  const auto& signal = snapshot.sample.fans[fan].signal_pa;
  const bool has_signal = signal.quality == control::Quality::good;
  return {{"name", std::string(config.fans[fan].name.view())},
          {"demand_frac", snapshot.outputs[fan].demand_frac},
          {"enabled", snapshot.outputs[fan].enabled},
          {"signal_pa", number_or_null(has_signal, signal.value)},
          {"flow_m3_s", number_or_null(has_flow(snapshot, config, fan), snapshot.trace.flow_m3_s[fan])},
          {"restriction", restriction_name(config, static_cast<int>(fan), setup.fitted)},
          {"covered", snapshot.is_cover_told[fan] ? json(setup.covered) : json(nullptr)}};
}

namespace {

/// What the restriction that is asked for is expected to do; of a blind choice nothing has been measured.
json promise_json(const control::FitPromise& promise) {
  return {{"measured", !promise.blind},
          {"stations_to_come", promise.stations_to_come},
          {"stations_served", promise.stations_meant},
          {"probability_frac", promise.serves_p},
          {"fitted_probability_frac", promise.fitted_p},
          {"stations_unserved", promise.stations_unserved}};
}

}  // namespace

json ask_json(const control::Ask& ask, const control::RunSpec& run, const control::EngineConfig& config) {
  json out = {{"id", std::to_string(ask.id)},
              {"kind", name_of(ask.kind)},
              {"text", ask_text(ask, run, config)},
              {"answers", answers_of(ask.kind)}};
  if (is_about_fan(ask.kind)) out["fan"] = ask.fan + 1;
  if (ask.kind == control::AskKind::checklist) out["list"] = ask.restore ? "restore" : "prepare";
  if (ask.kind == control::AskKind::fit_restriction)
    out["restriction"] = restriction_name(config, ask.fan, ask.restriction);
  if (ask.kind == control::AskKind::fit_restriction && ask.promise.known)
    out["promise"] = promise_json(ask.promise);
  if (ask.kind == control::AskKind::turn_fan) out["direction"] = name_of(ask.direction);
  return out;
}

json asks_json(const Snapshot& snapshot, const control::EngineConfig& config) {
  json asks = json::array();
  for (const control::Ask& ask : snapshot.state.asks)
    asks.push_back(ask_json(ask, snapshot.state.run, config));
  return asks;
}

json status_json(const Snapshot& snapshot, const control::EngineConfig& config) {
  const control::EngineState& state = snapshot.state;
  json fans = json::array();
  for (std::size_t fan = 0; fan < config.fans.size(); ++fan) fans.push_back(fan_json(snapshot, config, fan));
  constexpr double kNsPerS = 1e9;
  return {
      {"phase", name_of(state.phase)},
      {"sentence", sentence_of(snapshot)},
      {"run_id", snapshot.run_id.empty() ? json(nullptr) : json(snapshot.run_id)},
      {"run_state", run_state_json(snapshot)},
      {"pid", ::getpid()},
      {"watchman_pid", nullptr},
      {"building_pressure_pa", building_pressure_json(snapshot)},
      {"induced_pressure_pa", induced_pressure_json(snapshot)},
      {"zero_flow_pa", number_or_null(state.has_zero_flow, state.zero_flow_pa)},
      {"unrest_pa", number_or_null(true, snapshot.unrest_pa)},
      {"zero_flow_unrest_pa", number_or_null(state.has_zero_flow, state.zero_flow_sd_pa)},
      {"target_pa", target_json(snapshot)},
      {"direction", is_idle(snapshot) ? json(nullptr) : json(name_of(state.direction))},
      {"paused", state.sequencer.paused},
      {"presence", presence_json(snapshot)},
      {"countdown_s", countdown_json(snapshot)},
      {"phase_left_s", phase_left_json(snapshot)},
      {"run_left_s", run_left_json(snapshot)},
      {"plan", plan_json(state)},
      {"fans", std::move(fans)},
      {"estimates", estimates_json(snapshot)},
      {"asks", asks_json(snapshot, config)},
      {"trip", trip_json(snapshot)},
      {"device", name_of(snapshot.sample.device)},
      {"recorder", recorder_word(snapshot.recording)},
      {"recorder_fault", recorder_fault_json(snapshot.recording_fault)},
      {"silence_stop", {{"kind", name_of(config.silence_stop)}, {"text", silence_text(config.silence_stop)}}},
      {"rig", std::string(config.rig_name.view())},
      {"engine_time_s", static_cast<double>(state.now_ns) / kNsPerS},
      {"ticks", snapshot.ticks},
      {"late_ticks", snapshot.late_ticks},
      {"skipped_samples", snapshot.skipped_samples}};
}

}  // namespace leeward::daemon
