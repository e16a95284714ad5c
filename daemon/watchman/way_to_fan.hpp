#pragma once
/// The watchman's own way to the fan. It is not opened before it is needed: some devices take one connection.

#include <memory>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/tcp_socket.hpp"

namespace leeward::daemon {

class WayToFan {
 public:
  virtual ~WayToFan() = default;
  /// Connects and writes off. @returns whether the device has accepted it by the deadline
  [[nodiscard]] virtual bool stop(SteadyTime deadline) = 0;
};

/// Null where there is none and none is needed: a simulated fan is part of the daemon and ends with it.
/// May wait for a name server, so that it need not when there is haste.
[[nodiscard]] std::unique_ptr<WayToFan> make_way(const RigSpec& rig);

}  // namespace leeward::daemon
