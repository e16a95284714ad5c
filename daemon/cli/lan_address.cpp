#include "daemon/cli/lan_address.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>

#include <array>
#include <memory>

namespace leeward::daemon {
namespace {
struct FreeInterfaces {
  void operator()(ifaddrs* list) const { ::freeifaddrs(list); }
};
}  // namespace

std::string lan_address() {
  ifaddrs* found = nullptr;
  if (::getifaddrs(&found) != 0) return "127.0.0.1";
  const std::unique_ptr<ifaddrs, FreeInterfaces> list(found);
  for (const ifaddrs* entry = found; entry != nullptr; entry = entry->ifa_next) {
    const bool is_usable = (entry->ifa_flags & IFF_UP) != 0 && (entry->ifa_flags & IFF_LOOPBACK) == 0;
    if (!is_usable || entry->ifa_addr == nullptr || entry->ifa_addr->sa_family != AF_INET) continue;
    std::array<char, INET_ADDRSTRLEN> text{};
    const auto* address = reinterpret_cast<const sockaddr_in*>(entry->ifa_addr);
    if (::inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size()) != nullptr) return text.data();
  }
  return "127.0.0.1";
}

}  // namespace leeward::daemon
