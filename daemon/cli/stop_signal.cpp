#include "daemon/cli/stop_signal.hpp"

#include <csignal>

namespace leeward::daemon {
namespace {
volatile std::sig_atomic_t g_came = 0;
void (*g_before_end)() = nullptr;

extern "C" void leeward_note_signal(int signal) {
  if (g_came == 0) {
    g_came = 1;
    return;
  }
  if (g_before_end != nullptr) g_before_end();
  // Takes effect when this handler returns.
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}
}  // namespace

void watch_for_stop_signal(void (*before_end)()) {
  g_before_end = before_end;
  // Without SA_RESTART: a blocking wait shall be cut short.
  struct sigaction action {};
  action.sa_handler = leeward_note_signal;
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
}

bool stop_signal_came() { return g_came != 0; }

}  // namespace leeward::daemon
