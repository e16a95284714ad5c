#include "daemon/cli/stop_signal.hpp"

#include <csignal>

namespace leeward::daemon {
namespace {
volatile std::sig_atomic_t g_came = 0;

extern "C" void leeward_note_signal(int signal) {
  g_came = 1;
  std::signal(signal, SIG_DFL);
}
}  // namespace

void watch_for_stop_signal() {
  // Without SA_RESTART: a blocking wait shall be cut short.
  struct sigaction action {};
  action.sa_handler = leeward_note_signal;
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
}

bool stop_signal_came() { return g_came != 0; }

}  // namespace leeward::daemon
