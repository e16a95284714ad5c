#pragma once
/// What the program says to the shell.
/// Source   64 and above: the sysexits convention of BSD

namespace leeward::daemon {

enum ExitCode : int {
  exit_done = 0,
  exit_failed = 1,   ///< failed, refused or stopped
  exit_invalid = 2,  ///< the run ended, but its result does not count
  exit_trip = 3,     ///< the fan was tripped
  exit_usage = 64,
  exit_data = 65,  ///< a bad file of ours
  exit_no_daemon = 69,
  exit_io = 74,
  exit_busy = 75,  ///< another instance
  exit_no_permission = 77,
  exit_config = 78
};

}  // namespace leeward::daemon
