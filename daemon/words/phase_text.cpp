#include "daemon/words/phase_text.hpp"

#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

using control::Phase;
using control::Trace;

std::string induced_words(const Trace& t) {
  if (!t.pressure_good) return "an unknown pressure";
  return side_text(control::signed_pressure(t.direction, t.induced_pa));
}

std::string target_words(const Trace& t) {
  const bool below = t.direction == control::Direction::depressurize;
  return target_text(t.target_pa) + (below ? " below outdoors" : " above outdoors");
}

std::string left_words(const Trace& t) {
  return t.phase_left_s > 0 ? ", " + seconds_text(t.phase_left_s) + " to go" : std::string();
}

bool may_be_paused(Phase phase) {
  return phase == Phase::look_round || phase == Phase::climb || phase == Phase::stations;
}

}  // namespace

std::string phase_text(const Trace& t, bool is_paused, bool is_low) {
  if (t.countdown_s > 0) return "The fan starts in " + seconds_text(t.countdown_s) + "; any stop ends it";
  if (is_paused && is_low && may_be_paused(t.phase))
    return "No sign of life came: down to " + target_words(t) + ", now at " + induced_words(t) +
           ", until somebody says that the run may go on";
  if (is_paused && may_be_paused(t.phase))
    return "Paused, holding " + induced_words(t) + " until it is continued or stopped";
  switch (t.phase) {
    case Phase::idle:
      return "Idle, the fan is off";
    case Phase::prepare:
      return "Preparing the building, the fan is off";
    case Phase::baseline:
      return "Measuring the zero-flow pressure, the fan covered and off" + left_words(t);
    case Phase::uncover:
      return "The zero-flow pressure is taken, the fan is being made ready and is off";
    case Phase::look_round:
      return "Look-round at " + induced_words(t) + left_words(t);
    case Phase::climb:
      return "Climbing to " + target_words(t) + ", now at " + induced_words(t);
    case Phase::stations:
      return "Measuring at " + induced_words(t) + ", station " + target_text(t.target_pa) + left_words(t);
    case Phase::closing_baseline:
      return "Measuring the zero-flow pressure once more, the fan covered and off" + left_words(t);
    case Phase::restore:
      return "The run is over, the fan is off; the building is being restored";
    case Phase::result:
      return "The run has ended, the fan is off";
    case Phase::hold:
      return "Holding " + induced_words(t) + left_words(t);
    case Phase::learn_drive:
      return "Finding out what the fan's drive is like, at " + induced_words(t) + left_words(t);
    case Phase::tripped:
      return "Tripped, the fan is stopped until a person clears the trip";
  }
  return "A phase that this version does not know";
}

}  // namespace leeward::daemon
