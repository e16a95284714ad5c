#pragma once
/// Words to systemd, over the socket that it names in the environment; without one nothing is said.
/// Source   sd_notify(3): datagrams of lines KEY=VALUE to $NOTIFY_SOCKET; a leading @ is the abstract space

#include <chrono>
#include <string>

#include "daemon/devices/unique_fd.hpp"

namespace leeward::daemon {

class ServiceNotice {
 public:
  /// Takes the words from the environment of this process.
  ServiceNotice();

  void say(const std::string& lines) const;
  /// Feeds systemd's watchdog, four times within its limit at most.
  void alive(std::chrono::nanoseconds now);

 private:
  std::string address_;
  UniqueFd socket_;
  std::chrono::nanoseconds every_{};  ///< 0: no watchdog
  std::chrono::nanoseconds due_{};
};

}  // namespace leeward::daemon
