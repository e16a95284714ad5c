#include "control/procedure/asks.hpp"

#include <algorithm>

namespace leeward::control {
namespace {

// Time for the person at the fan to step back; counted aloud by the faces, ended by any stop.
constexpr double kCountdown = 5.0;
constexpr std::int32_t kNoMoreFits = 1000;  // the crew has no other restriction, or no wish to change
constexpr double kAtRest = 0.05;            // of full speed, by the nominal drive

void note_hands(Scene& scene, const Ask& ask, Answer answer) {
  EngineState& s = scene.state;
  FanSetup& fan = s.fans[static_cast<std::size_t>(ask.fan)];
  switch (ask.kind) {
    case AskKind::cover_fan:
      fan.covered = true;
      break;
    case AskKind::uncover_fan:
      fan.covered = false;
      break;
    case AskKind::fit_restriction:
      if (answer == Answer::done) fan.fitted = ask.restriction;
      if (answer == Answer::keep) s.sequencer.fits = kNoMoreFits;
      break;
    case AskKind::turn_fan:
      s.direction = ask.direction;
      s.fans_blow = ask.direction;
      break;
    case AskKind::checklist:
    case AskKind::look_round:
      return;
  }
  if (ask.kind == AskKind::fit_restriction && answer == Answer::done)
    scene.events.push_back({EventKind::restriction_fitted, ask.fan, ask.restriction, 0, 0});
  if (ask.kind == AskKind::cover_fan || ask.kind == AskKind::turn_fan)
    return;  // the fan stays off after these
  s.countdown_s = kCountdown;
  scene.events.push_back({EventKind::countdown_started, 0, 0, kCountdown, 0});
}

void cover_fans(Scene& scene) {
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    if (!scene.state.fans[i].covered)
      open_ask(scene, {.kind = AskKind::cover_fan, .fan = static_cast<int>(i)});
}

void fit_fans(Scene& scene) {
  const SequencerState& q = scene.state.sequencer;
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    if (q.refit_asked || scene.state.fans[i].fitted != q.fit_wanted)
      open_ask(scene, {.kind = AskKind::fit_restriction,
                       .fan = static_cast<int>(i),
                       .restriction = q.fit_wanted,
                       .promise = q.fit_promise});
}

}  // namespace

void ask_at_rest(Scene& scene, HandsWork work) noexcept {
  scene.state.sequencer.waiting = work;
  open_waiting(scene);
}

void open_waiting(Scene& scene) noexcept {
  SequencerState& q = scene.state.sequencer;
  if (q.waiting == HandsWork::none || scene.state.followed_frac > kAtRest) return;
  const HandsWork work = q.waiting;
  q.waiting = HandsWork::none;
  if (work == HandsWork::cover) cover_fans(scene);
  if (work == HandsWork::fit) fit_fans(scene);
}

void open_ask(Scene& scene, Ask ask) noexcept {
  EngineState& s = scene.state;
  ask.id = s.next_ask_id;
  ask.at_ns = s.now_ns;
  if (!s.asks.push_back(ask)) return;
  ++s.next_ask_id;
  scene.events.push_back({EventKind::ask_opened, ask.id, static_cast<std::int64_t>(ask.kind), 0, 0});
}

void withdraw_asks(Scene& scene) noexcept {
  for (const Ask& ask : scene.state.asks) scene.events.push_back({EventKind::ask_withdrawn, ask.id, 0, 0, 0});
  scene.state.asks.clear();
}

bool any_open(const EngineState& state, AskKind kind) noexcept {
  return std::any_of(state.asks.begin(), state.asks.end(), [kind](const Ask& a) { return a.kind == kind; });
}

bool any_open(const EngineState& state) noexcept { return !state.asks.empty(); }

void open_checklist(Scene& scene, bool restore) noexcept {
  const ProcedureSpec& procedure = scene.state.run.procedure;
  const std::size_t items = restore ? procedure.restore.size() : procedure.checklist.size();
  for (std::size_t i = 0; i < items; ++i)
    open_ask(scene, {.kind = AskKind::checklist, .restore = restore, .item = static_cast<int>(i)});
}

Refusal take_answer(Scene& scene, std::int64_t ask_id, Answer answer) noexcept {
  EngineState& s = scene.state;
  for (std::size_t i = 0; i < s.asks.size(); ++i) {
    const Ask ask = s.asks[i];
    if (ask.id != ask_id) continue;
    if (!answer_allowed(ask.kind, answer)) return Refusal::unknown_answer;
    s.asks.erase_at(i);
    scene.events.push_back({EventKind::ask_answered, ask.id, static_cast<std::int64_t>(answer), 0, 0});
    note_hands(scene, ask, answer);
    if (answer == Answer::stop) end_run(scene, RunState::stopped);
    // That all is well is what has to be said before the pressure may go up again, too.
    if (ask.kind == AskKind::look_round && keeps_low(s.presence)) go_on(s);
    return Refusal::accepted;
  }
  return ask_id > 0 && ask_id < s.next_ask_id ? Refusal::ask_answered : Refusal::unknown_ask;
}

}  // namespace leeward::control
