#pragma once
/// Non-blocking TCP with deadlines on the monotonic clock.

#include <chrono>
#include <string>

#include "control/result.hpp"
#include "daemon/devices/unique_fd.hpp"

namespace leeward::daemon {

using SteadyTime = std::chrono::steady_clock::time_point;

/// One attempt at each address of the host until the deadline; no delay for small packets.
///
/// Errors   `device` with host, port and reason. A numeric host never waits for a name server; a name
///          does, for as long as the system's resolver takes.
[[nodiscard]] control::Result<UniqueFd> connect_tcp(const std::string& host, int port, SteadyTime deadline);

/// The first address of a host in figures, or the host as it came where it has none. A name waits for the
/// system's resolver.
[[nodiscard]] std::string numeric_host(const std::string& host, int port);

/// @param port  0: the system picks a free one
[[nodiscard]] control::Result<UniqueFd> listen_tcp(const std::string& host, int port);
/// @returns the port that the socket is bound to
[[nodiscard]] int local_port(const UniqueFd& socket);

/// Small packets leave at once.
void no_delay(const UniqueFd& socket);

/// Waits for poll(2) events until the deadline. @returns whether one came
[[nodiscard]] bool wait_for(int fd, short events, SteadyTime deadline);

}  // namespace leeward::daemon
