#include "daemon/api/http_security.hpp"

#include <arpa/inet.h>
#include <unistd.h>

#include <array>

#include "daemon/access/lower_case.hpp"

namespace leeward::daemon {
namespace {
std::string_view without_port(std::string_view host) {
  if (host.starts_with('[')) return host.substr(0, host.find(']') + 1);
  return host.substr(0, host.find(':'));
}

bool is_ip_literal(std::string_view host) {
  std::array<unsigned char, sizeof(in6_addr)> address{};
  if (host.size() > 2 && host.front() == '[' && host.back() == ']')
    return inet_pton(AF_INET6, std::string(host.substr(1, host.size() - 2)).c_str(), address.data()) == 1;
  return inet_pton(AF_INET, std::string(host).c_str(), address.data()) == 1;
}

}  // namespace

std::optional<Problem> check_host(std::string_view host, const std::vector<std::string>& own_names) {
  const std::string name = lower_case(without_port(host));
  if (name == "localhost" || is_ip_literal(name)) return std::nullopt;
  for (const std::string& own : own_names)
    if (lower_case(own) == name) return std::nullopt;
  return Problem{421, "wrong_host", "this daemon does not answer to the name " + name, "Host",
                 "use its IP address, or add the name to listen.names in the rig file"};
}

std::optional<Problem> check_origin(std::string_view origin, std::string_view host) {
  const std::string own = lower_case(host);
  const std::string given = lower_case(origin);
  // Behind a proxy that adds TLS the browser says https, the host stays the same.
  if (given.empty() || given == "http://" + own || given == "https://" + own) return std::nullopt;
  return Problem{403, "foreign_origin", "requests from the page at " + std::string(origin) + " are refused",
                 "Origin", "open the page from the daemon itself"};
}

std::vector<std::string> names_of_this_host() {
  std::array<char, 256> name{};
  if (gethostname(name.data(), name.size() - 1) != 0 || name[0] == '\0') return {};
  const std::string plain(name.data());
  return {plain, plain + ".local"};
}

}  // namespace leeward::daemon
