#include "daemon/cli/follow_run.hpp"

#include <nlohmann/json.hpp>

#include "daemon/cli/stop_signal.hpp"
#include "daemon/cli/target_options.hpp"

namespace leeward::daemon {
namespace {

/// After a gap the end may be among what was missed.
void look_again(const HttpClient& client, const std::string& run_id, RunFollower& follower) {
  if (follower.of() == RunFollower::Of::hand) {
    if (const auto status = call(client, "GET", "/v1/status")) follower.look_at_status(*status);
  } else if (const auto run = call(client, "GET", "/v1/runs/" + run_id)) {
    follower.look_at(*run);
  }
}

/// A run that no person stopped has been stopped by something.
void say_recording_fault(const HttpClient& client, const std::string& run_id) {
  const auto status = call(client, "GET", "/v1/status");
  if (!status || status->value("run_id", nlohmann::json()) != run_id) return;
  const auto fault = status->find("recorder_fault");
  if (fault != status->end() && fault->is_string()) print_progress(fault->get<std::string>());
}
}  // namespace

Attempt<std::string> follow_run(const HttpClient& client, const std::string& run_id, const Target& target,
                                RunFollower::Of of) {
  RunFollower follower(run_id, print_progress, target_options(target), of);
  bool has_stopped = false;
  watch_for_stop_signal();
  while (!follower.is_over()) {
    const auto followed = client.stream(
        "/v1/stream",
        [&](const StreamEvent& event) {
          follower.take(event);
          if (follower.take_gap()) look_again(client, run_id, follower);
          if (stop_signal_came() && !has_stopped) {
            has_stopped = true;
            print_progress("stopping the run");
            if (const auto stopped = call(client, "POST", "/v1/stop"); !stopped)
              print_progress("the stop did not arrive: " + stopped.error().detail);
          }
          return !follower.is_over();
        },
        follower.last_event_id());
    // A reader that was too slow is cut off and may come back; a daemon that is gone is not there.
    if (!followed) return tl::unexpected(failure_of(followed.error()));
  }
  if (!has_stopped && follower.end_state() == "stopped") say_recording_fault(client, run_id);
  return follower.end_state();
}

}  // namespace leeward::daemon
