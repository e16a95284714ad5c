#pragma once
/// How the wire has been, for status, metrics and logs. Decides nothing.

#include <cstdint>
#include <string>

namespace leeward::daemon {

struct DeviceHealth {
  bool connected = false;
  std::uint64_t connections = 0;  ///< made since the start; all but the first are reconnections
  std::uint64_t failed_connects = 0;
  std::uint64_t lost = 0;  ///< connections that the other end closed
  std::uint64_t no_answers = 0;
  std::uint64_t bad_answers = 0;
  std::uint64_t refusals = 0;  ///< requests that the device answered with an exception
  bool timeout_refused =
      false;                 ///< the device did not take its time-out: it may run on when the wire is silent
  std::string last_error{};  ///< names host, port and register; empty while nothing has failed
};

}  // namespace leeward::daemon
