#pragma once
/// Ctrl-C as a question that a loop can ask.

namespace leeward::daemon {

/// From now on SIGINT and SIGTERM are counted; the second SIGINT ends the program as usual.
void watch_for_stop_signal();
[[nodiscard]] bool stop_signal_came();

}  // namespace leeward::daemon
