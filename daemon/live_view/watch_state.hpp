#pragma once
/// All that the live view knows, and how the daemon's words change it. Plain values: no clock, no I/O.

#include <deque>
#include <limits>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "daemon/client/http_client.hpp"
#include "daemon/live_view/course.hpp"

namespace leeward::daemon {

struct WatchedEvent {
  double at_s = 0;  ///< engine time
  std::string text;
  bool is_open_ask = false;  ///< shown as what is asked, as long as it is
};

struct RecentReading {
  double at_s = 0;
  double pa = 0;
};

struct WatchState {
  nlohmann::json status = nlohmann::json::object();     ///< as asked for, with each sample laid over it
  nlohmann::json procedure = nlohmann::json::object();  ///< of the plan; empty: not known
  Course course;
  std::deque<RecentReading> recent;  ///< of the last 10 s
  std::deque<WatchedEvent> events;   ///< newest last
  double run_begin_s = std::numeric_limits<double>::quiet_NaN();
  std::string last_event_id;
  std::string lost_since;     ///< time of day; empty while the daemon is heard
  bool wants_status = true;   ///< something has changed that no sample tells
  bool wants_course = false;  ///< readings were missed, or a run was met under way
};

/// @returns whether it was an event that a person is told of
bool take_item(WatchState& state, const StreamEvent& item);
void take_status(WatchState& state, nlohmann::json status);
/// @param trace  GET /v1/runs/{id}/trace
void take_course(WatchState& state, const nlohmann::json& trace);

/// Id of the run that is going on; empty: none.
[[nodiscard]] std::string running_run(const WatchState& state);

/// The event in a line: "+12:05 station 3 of 8 ...", since the run began, or the daemon's own time.
[[nodiscard]] std::string event_line(const WatchState& state, const WatchedEvent& event);

}  // namespace leeward::daemon
