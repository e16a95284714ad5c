#include "daemon/service/cover_word.hpp"

namespace leeward::daemon {
namespace {
using control::AskKind;
using control::Event;
using control::EventKind;
using control::Phase;

bool is_about_the_cover(const control::Ask& ask) {
  return ask.kind == AskKind::cover_fan || ask.kind == AskKind::uncover_fan;
}

/// A run asks for the cover anew. For a baseline by hand the crew puts it on without being asked.
bool makes_unknown(const Event& event, const control::EngineState& after) {
  if (event.kind == EventKind::run_started) return true;
  return event.kind == EventKind::phase_changed && event.a == static_cast<std::int64_t>(Phase::baseline) &&
         after.run_state != control::RunState::running;
}
}  // namespace

void CoverWord::follow(const control::Events& events, const OpenAsks& asks,
                       const control::EngineState& after) {
  for (const Event& event : events) {
    if (makes_unknown(event, after)) is_told_.fill(false);
    // Who asks for a hold has taken the cover off.
    if (event.kind == EventKind::hold_started) is_told_.fill(true);
    if (event.kind != EventKind::ask_answered) continue;
    for (const control::Ask& ask : asks)
      if (ask.id == event.a && is_about_the_cover(ask) && ask.fan >= 0)
        is_told_.at(static_cast<std::size_t>(ask.fan)) =
            event.b == static_cast<std::int64_t>(control::Answer::done);
  }
}

}  // namespace leeward::daemon
