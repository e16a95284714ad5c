#pragma once
/// Where a phone reaches this machine.

#include <string>

namespace leeward::daemon {

/// The first IPv4 address of an interface that is up and not the loopback; 127.0.0.1 where there is none.
[[nodiscard]] std::string lan_address();

}  // namespace leeward::daemon
