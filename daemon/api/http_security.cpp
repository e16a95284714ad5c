#include "daemon/api/http_security.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

namespace leeward::daemon {
namespace {
using control::Errc;
using control::Error;

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

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

tl::unexpected<Error> token_error(Errc code, const std::string& path, const std::string& text) {
  return tl::unexpected(Error{code, "listen.token_file", path + " " + text});
}

std::string read_small(int fd) {
  std::array<char, 1024> bytes{};
  const ssize_t got = ::read(fd, bytes.data(), bytes.size());
  std::string text(bytes.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
  while (!text.empty() && (text.back() == '\n' || text.back() == '\r' || text.back() == ' ')) text.pop_back();
  return text;
}
}  // namespace

bool same_secret(std::string_view a, std::string_view b) {
  // The length of the expected secret shows in the time, its bytes do not.
  unsigned char differs = a.size() == b.size() ? 0 : 1;
  for (std::size_t i = 0; i < b.size(); ++i) {
    const char given = i < a.size() ? a[i] : '\0';
    differs = static_cast<unsigned char>(differs | (given ^ b[i]));
  }
  return differs == 0;
}

bool token_matches(std::string_view authorization, std::string_view token) {
  constexpr std::string_view kScheme = "bearer ";
  if (token.empty() || lower(authorization.substr(0, kScheme.size())) != kScheme) return false;
  return same_secret(authorization.substr(kScheme.size()), token);
}

std::optional<Problem> check_host(std::string_view host, const std::vector<std::string>& own_names) {
  const std::string name = lower(without_port(host));
  if (name == "localhost" || is_ip_literal(name)) return std::nullopt;
  for (const std::string& own : own_names)
    if (lower(own) == name) return std::nullopt;
  return Problem{421, "wrong_host", "this daemon does not answer to the name " + name, "Host",
                 "use its IP address, or set listen.tcp_host in the rig file to this name"};
}

std::optional<Problem> check_origin(std::string_view origin, std::string_view host) {
  if (origin.empty() || lower(origin) == "http://" + lower(host)) return std::nullopt;
  return Problem{403, "foreign_origin", "requests from the page at " + std::string(origin) + " are refused",
                 "Origin", "open the page from the daemon itself"};
}

std::vector<std::string> names_of_this_host() {
  std::array<char, 256> name{};
  if (gethostname(name.data(), name.size() - 1) != 0 || name[0] == '\0') return {};
  const std::string plain(name.data());
  return {plain, plain + ".local"};
}

control::Result<std::string> read_token_file(const std::string& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (fd < 0) return token_error(Errc::io, path, std::string("cannot be opened: ") + std::strerror(errno));
  struct stat info {};
  const bool is_known = ::fstat(fd, &info) == 0 && S_ISREG(info.st_mode);
  const std::string token = is_known ? read_small(fd) : std::string{};
  ::close(fd);
  if (!is_known) return token_error(Errc::io, path, "is not a regular file");
  if (info.st_uid != ::geteuid()) return token_error(Errc::conflict, path, "belongs to another user");
  if ((info.st_mode & 077) != 0)
    return token_error(Errc::conflict, path, "can be read by others: chmod 600 it");
  constexpr std::size_t kLeastBytes = 16;
  if (token.size() < kLeastBytes)
    return token_error(Errc::out_of_range, path, "holds less than 16 characters");
  return token;
}

}  // namespace leeward::daemon
