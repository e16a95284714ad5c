#include "control/guard/presence.hpp"

namespace leeward::control {
namespace {

constexpr double kWarnedLeft = 0.2;  // of the interval: the warning comes at 80 %

}  // namespace

bool keeps_low(const PresenceState& state) noexcept {
  return state.stage == PresenceStage::lowered || state.stage == PresenceStage::back;
}

double silence_allowed_s(const PresenceState& state, double interval_s) noexcept {
  return state.stage == PresenceStage::lowered ? 2 * interval_s : interval_s;
}

PresenceNews presence_step(PresenceState& state, const PresenceInput& in) noexcept {
  if (!(in.interval_s > 0)) {
    state = PresenceState{};
    return PresenceNews::none;
  }
  if (state.stage == PresenceStage::off) state.stage = PresenceStage::here;
  state.counts = in.fan_driven;
  if (!in.fan_driven) {
    if (state.stage == PresenceStage::here) {
      state.silent_s = 0;
      state.warned = false;
    }
    return PresenceNews::none;
  }
  state.silent_s += in.dt_s;
  if (state.stage == PresenceStage::here && state.silent_s >= in.interval_s) {
    state.stage = PresenceStage::lowered;
    state.warned = false;
    return PresenceNews::lowered;
  }
  const double left_s = silence_allowed_s(state, in.interval_s) - state.silent_s;
  if (state.warned || left_s > kWarnedLeft * in.interval_s) return PresenceNews::none;
  state.warned = true;
  return PresenceNews::warned;
}

bool presence_heard(PresenceState& state) noexcept {
  const bool was_lowered = state.stage == PresenceStage::lowered;
  if (was_lowered) state.stage = PresenceStage::back;
  state.silent_s = 0;
  state.warned = false;
  return was_lowered;
}

void presence_goes_on(PresenceState& state) noexcept {
  if (keeps_low(state)) state.stage = PresenceStage::here;
  (void)presence_heard(state);
}

}  // namespace leeward::control
