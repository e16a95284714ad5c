#pragma once
/// What the program says to the shell.
/// Source   64 and above: the sysexits convention of BSD

#include <array>

namespace leeward::daemon {

enum ExitCode : int {
  exit_done = 0,
  exit_failed = 1,
  exit_invalid = 2,
  exit_trip = 3,
  exit_usage = 64,
  exit_data = 65,
  exit_no_daemon = 69,
  exit_died = 70,
  exit_io = 74,
  exit_busy = 75,
  exit_no_permission = 77,
  exit_config = 78
};

struct ExitCodeMeaning {
  ExitCode code;
  const char* meaning;
};

/// All of them, as every help lists them.
inline constexpr std::array kExitCodes{
    ExitCodeMeaning{exit_done, "done"},
    ExitCodeMeaning{exit_failed, "failed, refused or stopped; of check: a file is not usable"},
    ExitCodeMeaning{exit_invalid, "the run ended, but its result does not count"},
    ExitCodeMeaning{exit_trip, "the fan was tripped"},
    ExitCodeMeaning{exit_usage, "the command line is wrong"},
    ExitCodeMeaning{exit_data, "a file or recording that was named is not there or not usable"},
    ExitCodeMeaning{exit_no_daemon, "no daemon answers"},
    ExitCodeMeaning{exit_died, "the daemon died or hung, or its watchman: the fan was stopped"},
    ExitCodeMeaning{exit_io, "reading, writing or the connection failed"},
    ExitCodeMeaning{exit_busy, "another daemon has the rig, the socket or the recordings"},
    ExitCodeMeaning{exit_no_permission, "no permission: socket, token or file"},
    ExitCodeMeaning{exit_config, "the configuration is wrong: rig file, token file"}};

}  // namespace leeward::daemon
