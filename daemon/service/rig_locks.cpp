#include "daemon/service/rig_locks.hpp"

#include <arpa/inet.h>
#include <netdb.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <memory>
#include <set>

#include "daemon/api/api_server.hpp"
#include "daemon/client/socket_path.hpp"

namespace leeward::daemon {
namespace {
using control::Result;

constexpr std::size_t kLongestHost = 200;  // a file name takes 255 bytes

bool may_stand_in_file_name(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || c == ':' || c == '-';
}

std::string plain_host(std::string host) {
  for (char& c : host) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    if (!may_stand_in_file_name(c)) c = '_';
  }
  return host.substr(0, kLongestHost);
}

/// As numbers. The device itself waits for the same answer of the name service before it is connected.
std::set<std::string> numeric_hosts(const std::string& host) {
  addrinfo hints{};
  hints.ai_family = AF_UNSPEC;
  hints.ai_socktype = SOCK_STREAM;
  addrinfo* found = nullptr;
  if (::getaddrinfo(host.c_str(), nullptr, &hints, &found) != 0) return {};
  const std::unique_ptr<addrinfo, decltype(&freeaddrinfo)> list(found, &freeaddrinfo);
  std::set<std::string> hosts;
  for (const addrinfo* one = list.get(); one != nullptr; one = one->ai_next) {
    std::array<char, NI_MAXHOST> text{};
    if (::getnameinfo(one->ai_addr, one->ai_addrlen, text.data(), text.size(), nullptr, 0, NI_NUMERICHOST) ==
        0)
      hosts.insert(plain_host(text.data()));
  }
  return hosts;
}

std::string folder_of(const std::string& socket_path) {
  return socket_path.substr(0, std::max<std::size_t>(1, socket_path.rfind('/')));
}

std::vector<LockSubject> subjects_of(const RigSpec& rig, const std::string& socket_path,
                                     const std::filesystem::path& recordings,
                                     const std::string& device_folder) {
  std::vector<LockSubject> subjects{
      {socket_path + ".lock", "already listens on " + socket_path, "give this one another --socket"}};
  const std::string device =
      rig.modbus.host + ":" + std::to_string(rig.modbus.port) + ", unit " + std::to_string(rig.modbus.unit);
  for (const std::string& address : device_addresses(rig))
    subjects.push_back(
        {device_folder + "/device-" + address + ".lock",
         "already drives the device " + device + " (two on one fan would undo each other's commands)",
         "name another [device] in the rig file"});
  subjects.push_back({(recordings / "daemon.lock").string(), "already records into " + recordings.string(),
                      "give this rig a folder of its own, [recorder] directory in the rig file"});
  return subjects;
}
}  // namespace

std::vector<std::string> device_addresses(const RigSpec& rig) {
  if (rig.device != DeviceKind::modbus_tcp) return {};
  std::set<std::string> hosts = numeric_hosts(rig.modbus.host);
  hosts.insert(plain_host(rig.modbus.host));
  std::vector<std::string> addresses;
  for (const std::string& host : hosts)
    addresses.push_back(host + "-" + std::to_string(rig.modbus.port) + "-" + std::to_string(rig.modbus.unit));
  return addresses;
}

Result<std::string> device_lock_folder() {
  const SocketPath usual = default_socket_path();
  if (prepare_socket_folder(usual.path, usual.is_shared_folder) &&
      ::access(folder_of(usual.path).c_str(), W_OK | X_OK) == 0)
    return folder_of(usual.path);
  // Taken over from another user's session, say: then the place that is there without one.
  const std::string folder = "/tmp/leeward-" + std::to_string(::geteuid());
  if (auto made = prepare_socket_folder(folder + "/api.sock", true); !made)
    return tl::unexpected(made.error());
  return folder;
}

Result<std::vector<InstanceLock>> lock_rig(const RigSpec& rig, const std::string& socket_path,
                                           const std::filesystem::path& recordings,
                                           const std::string& device_folder) {
  std::vector<InstanceLock> locks;
  for (const LockSubject& subject : subjects_of(rig, socket_path, recordings, device_folder)) {
    auto lock = InstanceLock::take(subject, socket_path);
    if (!lock) return tl::unexpected(lock.error());
    locks.push_back(std::move(*lock));
  }
  return locks;
}

}  // namespace leeward::daemon
