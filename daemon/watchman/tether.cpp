#include "daemon/watchman/tether.hpp"

#include <poll.h>

namespace leeward::daemon {

Tether::Tether(Lifeline& page, pid_t watchman_pid, UniqueFd line)
    : page_(page), watchman_pid_(watchman_pid), line_(std::move(line)) {}

void Tether::begin() {
  page_.daemon_beat_ns.store(monotonic_now_ns());  // before the stage, which asks for it
  page_.stage.store(DaemonStage::driving);
}

bool Tether::beat() {
  const std::int64_t now_ns = monotonic_now_ns();
  page_.daemon_beat_ns.store(now_ns);
  if (!is_held(now_ns)) is_cut_.store(true);
  return !is_cut_.load();
}

void Tether::stopping() {
  page_.daemon_beat_ns.store(monotonic_now_ns());
  page_.stage.store(DaemonStage::stopping);
}

void Tether::done(bool accepted) { page_.stage.store(accepted ? DaemonStage::at_rest : DaemonStage::let_go); }

/// A killed watchman closes the line at once; one that is stopped or hangs shows by its missing echo.
bool Tether::is_held(std::int64_t now_ns) const {
  pollfd line{.fd = line_.get(), .events = 0, .revents = 0};
  if (::poll(&line, 1, 0) > 0 && (line.revents & (POLLHUP | POLLERR | POLLNVAL)) != 0) return false;
  return now_ns - page_.watchman_beat_ns.load() <= std::chrono::nanoseconds(kEchoLimit).count();
}

}  // namespace leeward::daemon
