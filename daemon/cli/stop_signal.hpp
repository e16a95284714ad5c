#pragma once
/// Ctrl-C as a question that a loop can ask.

namespace leeward::daemon {

/// From now on SIGINT and SIGTERM are counted; the second SIGINT ends the program as usual.
/// @param before_end  called in the handler of the second one: only what a signal handler may do
void watch_for_stop_signal(void (*before_end)() = nullptr);
[[nodiscard]] bool stop_signal_came();

}  // namespace leeward::daemon
