#include "daemon/watchman/watchman.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/wait.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <ctime>
#include <new>

#include "daemon/watchman/service_notice.hpp"
#include "daemon/watchman/watch_rule.hpp"
#include "daemon/watchman/way_to_fan.hpp"

namespace leeward::daemon {
namespace {
using std::chrono::milliseconds;
using std::chrono::nanoseconds;
using std::chrono::steady_clock;

constexpr milliseconds kLookEvery{50};
constexpr milliseconds kReapLimit{200};
constexpr milliseconds kOneStopLimit{500};
constexpr milliseconds kSettle{100};
/// Then whoever starts the next daemon gets its turn, whose first act is off, too.
constexpr std::chrono::seconds kStopTrials{10};

void tell(const char* line) { std::fprintf(stderr, "watchman: %s\n", line); }

class Watchman {
 public:
  Watchman(Lifeline& page, pid_t daemon, const RigSpec& rig, std::unique_ptr<WayToFan> way, sigset_t signals)
      : page_(page), daemon_(daemon), limits_(watch_limits(rig)), way_(std::move(way)), signals_(signals) {}

  std::optional<int> watch() {
    for (;;) {
      hand_on(await_signal(kLookEvery));
      look();
      switch (next_act(sight_, limits_)) {
        case WatchAct::look_on:
          break;
        case WatchAct::kill_daemon:
          tell("the daemon does not answer: it is killed and the fan stopped");
          ::kill(daemon_, SIGKILL);
          await_end();
          stop_fan();
          return std::nullopt;
        case WatchAct::stop_fan:
          tell(sight_.is_gone ? "the daemon has died: the fan is stopped"
                              : "the device did not take the daemon's last word: the fan is stopped");
          stop_fan();
          break;
        case WatchAct::leave:
          return exit_code();
      }
    }
  }

 private:
  /// @returns 0 when none came
  int await_signal(nanoseconds at_most) {
    const timespec limit{.tv_sec = 0, .tv_nsec = static_cast<long>(at_most.count())};
    const int signal = ::sigtimedwait(&signals_, nullptr, &limit);
    return signal > 0 ? signal : 0;
  }

  void hand_on(int signal) {
    if (signal == 0 || signal == SIGCHLD) return;
    notice_.say("STOPPING=1");
    ::kill(daemon_, SIGTERM);
  }

  void look() {
    reap();
    const std::int64_t now_ns = monotonic_now_ns();
    page_.watchman_beat_ns.store(now_ns);
    notice_.alive(nanoseconds(now_ns));
    sight_.stage = page_.stage.load();
    // Read after the clock was: a beat that comes in between counts as just now.
    sight_.since_beat = nanoseconds(now_ns - page_.daemon_beat_ns.load());
    if (is_ready_said_ || !page_.is_ready.load()) return;
    is_ready_said_ = true;
    notice_.say("READY=1\nSTATUS=watching over the daemon, pid " + std::to_string(daemon_));
  }

  void reap() {
    if (!sight_.is_gone && ::waitpid(daemon_, &ended_, WNOHANG) == daemon_) sight_.is_gone = true;
  }

  /// A debugger may keep the process from being gathered; its connections are closed all the same.
  void await_end() {
    const auto give_up = steady_clock::now() + kReapLimit;
    for (reap(); !sight_.is_gone && steady_clock::now() < give_up; reap())
      (void)await_signal(milliseconds(2));
  }

  void stop_fan() {
    const auto give_up = steady_clock::now() + kStopTrials;
    bool is_off = way_ == nullptr;
    bool is_told = false;
    while (!is_off && steady_clock::now() < give_up) {
      is_off = way_->stop(steady_clock::now() + kOneStopLimit);
      page_.watchman_beat_ns.store(monotonic_now_ns());
      notice_.alive(nanoseconds(monotonic_now_ns()));
      if (!is_off && !is_told) tell("the device does not accept off; trying on. USE THE HAND SWITCH");
      is_told = true;
      if (!is_off) (void)await_signal(milliseconds(20));
    }
    // What the daemon sent last may lie unread in the device, and be read after the first off.
    if (way_) (void)await_signal(kSettle);
    if (is_off && way_) is_off = way_->stop(steady_clock::now() + kOneStopLimit);
    sight_.is_fan_told = true;
    if (way_ == nullptr) return tell("the simulated fan has ended with the daemon");
    tell(is_off ? "the fan is off" : "the device has NOT accepted off: the fan may run. USE THE HAND SWITCH");
  }

  [[nodiscard]] std::optional<int> exit_code() const {
    const bool is_orderly = WIFEXITED(ended_);
    return is_orderly ? std::optional<int>(WEXITSTATUS(ended_)) : std::nullopt;
  }

  Lifeline& page_;
  const pid_t daemon_;
  const WatchLimits limits_;
  const std::unique_ptr<WayToFan> way_;
  const sigset_t signals_;
  ServiceNotice notice_;
  WatchSight sight_;
  int ended_ = 0;
  bool is_ready_said_ = false;
};

Lifeline* share_page() {
  void* memory = ::mmap(nullptr, sizeof(Lifeline), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  return memory == MAP_FAILED ? nullptr : new (memory) Lifeline;
}

/// Taken by waiting, so that none is lost between two looks.
sigset_t watched_signals() {
  sigset_t set;
  sigemptyset(&set);
  for (const int signal : {SIGTERM, SIGINT, SIGHUP, SIGCHLD}) sigaddset(&set, signal);
  return set;
}
}  // namespace

std::optional<int> run_watched(const RigSpec& rig, const std::function<int(Tether&)>& daemon) {
  Lifeline* page = share_page();
  std::array<int, 2> line{-1, -1};
  if (page == nullptr || ::pipe2(line.data(), O_CLOEXEC) != 0) {
    tell("no memory or file to watch by: the daemon is not started");
    return std::nullopt;
  }
  UniqueFd far(line[0]);
  UniqueFd near(line[1]);
  std::unique_ptr<WayToFan> way = make_way(rig);
  // A Ctrl-Z would freeze both of them with the fan running.
  for (const int signal : {SIGTSTP, SIGTTIN, SIGTTOU, SIGPIPE}) std::signal(signal, SIG_IGN);
  const sigset_t signals = watched_signals();
  sigset_t before;
  ::sigprocmask(SIG_BLOCK, &signals, &before);
  page->watchman_beat_ns.store(monotonic_now_ns());
  std::fflush(nullptr);
  const pid_t watchman = ::getpid();
  const pid_t child = ::fork();
  if (child < 0) return std::nullopt;
  if (child > 0) {
    far.reset();
    return Watchman(*page, child, rig, std::move(way), signals).watch();
  }
  near.reset();
  way.reset();
  ::sigprocmask(SIG_SETMASK, &before, nullptr);
  Tether tether(*page, watchman, std::move(far));
  return daemon(tether);
}

}  // namespace leeward::daemon
