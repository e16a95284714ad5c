#pragma once
/// Keeps two daemons off one rig: they would undo each other's commands and record into each other's files.

#include <filesystem>
#include <string>
#include <vector>

#include "control/result.hpp"
#include "daemon/config/rig_spec.hpp"
#include "daemon/service/instance_lock.hpp"

namespace leeward::daemon {

/// Locks the socket, the address of the device and the folder of recordings, all or none.
/// @param device_folder  where the locks of devices lie: the same for every daemon of this user
/// Errors   busy, naming the holder and what to do; io
[[nodiscard]] control::Result<std::vector<InstanceLock>> lock_rig(const RigSpec& rig,
                                                                  const std::string& socket_path,
                                                                  const std::filesystem::path& recordings,
                                                                  const std::string& device_folder);

/// The runtime directory, made where it is missing; /tmp/leeward-UID where there is none that can be used.
/// Errors   io; conflict when somebody else has put a folder there
[[nodiscard]] control::Result<std::string> device_lock_folder();

/// The names under which a device is locked, at least one: its host as written and as every address that it
/// stands for, so that "localhost" and "127.0.0.1" meet. Empty for a simulated device.
[[nodiscard]] std::vector<std::string> device_addresses(const RigSpec& rig);

}  // namespace leeward::daemon
