#pragma once
/// What the ticks of a recording tell: phases, pressure, what the crew answered, what went wrong.

#include <optional>
#include <string>
#include <vector>

#include "control/engine_config.hpp"
#include "control/event.hpp"
#include "control/phase.hpp"
#include "control/request.hpp"
#include "daemon/document/pressure_envelope.hpp"
#include "daemon/recorder/recording_reader.hpp"

namespace leeward::daemon {

struct PhaseSpan {
  control::Phase phase = control::Phase::idle;
  double begin_s = 0;  ///< since the first tick
  double end_s = 0;
};

struct ChecklistAnswer {
  std::string text;
  std::string answer;  ///< "done", "not applicable", "not answered"
};

/// Several events of one kind are told once, with their number.
struct StoryEvent {
  control::Event event;
  double at_s = 0;
  int count = 1;
};

struct RunStory {
  double begin_ns = 0;  ///< engine time of the first tick
  double duration_s = 0;
  std::uint64_t ticks = 0;
  std::optional<control::RunSpec> run;  ///< as it was asked for; none in a recording of a hold
  std::vector<PhaseSpan> phases;
  PressureEnvelope pressure;
  std::vector<ChecklistAnswer> preparation;
  std::vector<ChecklistAnswer> restore;
  std::vector<StoryEvent> events;  ///< those that a reader of the report should know
  std::optional<control::Trip> trip;
  std::optional<control::RunState>
      ended_as;  ///< known before the recording is closed: the crew still restores
  std::int64_t ended_unix_ms = 0;
  bool is_broken = false;  ///< the recording is damaged: what came behind duration_s could not be read
  [[nodiscard]] double seconds_at(std::int64_t stamp_ns) const {
    return (static_cast<double>(stamp_ns) - begin_ns) / 1e9;
  }
};

/// Errors   those of the reader, where not a tick can be read
[[nodiscard]] control::Result<RunStory> read_story(const RecordingReader& recording);

}  // namespace leeward::daemon
