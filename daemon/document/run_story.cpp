#include "daemon/document/run_story.hpp"

#include <algorithm>
#include <limits>
#include <map>

namespace leeward::daemon {

namespace {

using control::Event;
using control::EventKind;

/// Whether a reader of the report should know of it.
bool is_worth_telling(EventKind kind) {
  switch (kind) {
    case EventKind::station_unreachable:
    case EventKind::restriction_mismatch:
    case EventKind::trip_cleared:
    case EventKind::sample_gap:
    case EventKind::tick_late:
    case EventKind::sensor_lost:
    case EventKind::paused:
    case EventKind::too_windy:
    case EventKind::nobody_answered:
    case EventKind::presence_lowered:
      return true;
    default:
      return false;
  }
}

/// The event's number is how many periods were lost.
bool counts_periods(EventKind kind) { return kind == EventKind::sample_gap || kind == EventKind::tick_late; }

bool is_same_matter(const Event& told, const Event& event) {
  return told.kind == event.kind && (told.a == event.a || counts_periods(event.kind));
}

std::string answer_words(std::int64_t answer) {
  switch (static_cast<control::Answer>(answer)) {
    case control::Answer::done:
      return "done";
    case control::Answer::not_applicable:
      return "not applicable";
    default:
      return "answered otherwise";
  }
}

class StoryTeller {
 public:
  void take(const RecordedTick& tick) {
    const control::Trace& trace = tick.output.trace;
    if (story_.ticks++ == 0) story_.begin_ns = static_cast<double>(tick.sample.stamp_ns);
    const double at_s = story_.seconds_at(tick.sample.stamp_ns);
    story_.duration_s = std::max(story_.duration_s, at_s);
    take_requests(tick);
    take_phase(trace.phase, at_s);
    story_.pressure.add(
        at_s, trace.pressure_good ? trace.pressure_signed_pa : std::numeric_limits<double>::quiet_NaN());
    for (const Event& event : tick.output.events) {
      take_event(event, at_s, tick.sample.stamp_ns);
      if (event.kind == EventKind::run_ended) story_.ended_unix_ms = tick.sample.wall_unix_ms;
    }
  }

  RunStory end() {
    if (!story_.phases.empty()) story_.phases.back().end_s = story_.duration_s;
    return std::move(story_);
  }

 private:
  void take_requests(const RecordedTick& tick) {
    for (std::size_t i = 0; i < tick.requests.size(); ++i) {
      if (tick.requests[i].kind != control::RequestKind::start_run || story_.run) continue;
      const auto& refusals = tick.output.refusals;
      if (i < refusals.size() && refusals[i] != control::Refusal::accepted) continue;
      story_.run = tick.requests[i].run;
      fill(story_.preparation, story_.run->procedure.checklist);
      fill(story_.restore, story_.run->procedure.restore);
    }
  }

  template <class Lines>
  static void fill(std::vector<ChecklistAnswer>& out, const Lines& lines) {
    for (const auto& line : lines) out.push_back({std::string(line.view()), "not answered"});
  }

  void take_phase(control::Phase phase, double at_s) {
    if (!story_.phases.empty()) {
      if (story_.phases.back().phase == phase) return;
      story_.phases.back().end_s = at_s;
    }
    story_.phases.push_back({phase, at_s, at_s});
  }

  void take_event(const Event& event, double at_s, std::int64_t stamp_ns) {
    if (event.kind == EventKind::ask_opened) open_item(event);
    if (event.kind == EventKind::ask_answered) {
      if (const auto it = items_.find(event.a); it != items_.end())
        it->second.list->at(it->second.index).answer = answer_words(event.b);
    }
    if (event.kind == EventKind::tripped)
      story_.trip = control::Trip{static_cast<control::TripCause>(event.a),
                                  static_cast<control::StopMode>(event.b), stamp_ns, event.x, event.y};
    if (event.kind == EventKind::run_ended) story_.ended_as = static_cast<control::RunState>(event.a);
    if (!is_worth_telling(event.kind)) return;
    for (StoryEvent& told : story_.events) {
      if (!is_same_matter(told.event, event)) continue;
      ++told.count;
      if (counts_periods(event.kind)) told.event.a += event.a;
      return;
    }
    story_.events.push_back({event, at_s, 1});
  }

  /// Items open in the order of their lists, the preparation list first.
  void open_item(const Event& event) {
    if (event.b != static_cast<std::int64_t>(control::AskKind::checklist)) return;
    const std::size_t item = checklist_asks_++;
    const std::size_t prepared = story_.preparation.size();
    if (item < prepared) {
      items_[event.a] = {&story_.preparation, item};
    } else if (item - prepared < story_.restore.size()) {
      items_[event.a] = {&story_.restore, item - prepared};
    }
  }

  struct Item {
    std::vector<ChecklistAnswer>* list = nullptr;
    std::size_t index = 0;
  };
  RunStory story_;
  std::size_t checklist_asks_ = 0;
  std::map<std::int64_t, Item> items_;  // by id of the ask
};

}  // namespace

control::Result<RunStory> read_story(const RecordingReader& recording) {
  StoryTeller teller;
  const auto read = recording.for_each_tick([&teller](const RecordedTick& tick) {
    teller.take(tick);
    return true;
  });
  RunStory story = teller.end();
  if (!read && story.ticks == 0) return tl::unexpected(read.error());
  story.is_broken = !read.has_value();
  return story;
}

}  // namespace leeward::daemon
