#pragma once
/// `leeward rig`: the virtual rig as a program of its own.

#include <cstdint>
#include <optional>
#include <string>

#include "control/result.hpp"
#include "sim/house_spec.hpp"

namespace leeward::daemon {

struct RigOptions {
  sim::HouseSpec house;
  std::string host = "127.0.0.1";  ///< where to listen; anything but loopback only when the user says so
  int port = 1502;                 ///< 0: the system picks a free one
  double speed = 1;                ///< simulated seconds per second of the wall clock, above 0, at most 1e5
  std::uint64_t seed = 1;
  std::optional<double> auto_crew_s;  ///< answer the daemon's asks so many seconds after they came
  std::string socket_path;            ///< of the daemon, for the crew
  bool tells_fan = false;             ///< print a line whenever a fan begins or ceases to be driven
  bool is_json = false;               ///< say ready as a JSON line
};

/// With `tells_fan`: `fan N on|off|timed-out SECONDS`, of the monotonic clock that all processes of a machine
/// share. Prints `ready HOST:PORT`, or {"ready":"HOST:PORT"}, and serves until SIGTERM or SIGINT. Errors
/// out_of_range for a speed that is none, io when it can't listen
[[nodiscard]] control::Result<void> run_rig(const RigOptions& options);

}  // namespace leeward::daemon
