#include "daemon/watchman/service_notice.hpp"

#include <sys/socket.h>
#include <sys/un.h>

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <cstdlib>
#include <string_view>

namespace leeward::daemon {
namespace {
std::int64_t number_from_environment(const char* name) {
  const char* found = std::getenv(name);
  const std::string_view text = found != nullptr ? found : "";
  std::int64_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} && end == text.data() + text.size() ? value : 0;
}
}  // namespace

ServiceNotice::ServiceNotice() {
  const char* address = std::getenv("NOTIFY_SOCKET");
  if (address == nullptr || std::string_view(address).size() < 2) return;
  address_ = address;
  socket_.reset(::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0));
  const std::int64_t whose = number_from_environment("WATCHDOG_PID");
  if (whose != 0 && whose != ::getpid()) return;
  every_ = std::chrono::microseconds(std::max<std::int64_t>(number_from_environment("WATCHDOG_USEC"), 0)) / 4;
}

void ServiceNotice::say(const std::string& lines) const {
  sockaddr_un to{};
  if (!socket_.valid() || address_.size() >= sizeof to.sun_path) return;
  to.sun_family = AF_UNIX;
  std::copy(address_.begin(), address_.end(), to.sun_path);
  if (to.sun_path[0] == '@') to.sun_path[0] = '\0';
  const auto size = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + address_.size());
  (void)::sendto(socket_.get(), lines.data(), lines.size(), MSG_NOSIGNAL,
                 reinterpret_cast<const sockaddr*>(&to), size);
}

void ServiceNotice::alive(std::chrono::nanoseconds now) {
  if (every_.count() == 0 || now < due_) return;
  due_ = now + every_;
  say("WATCHDOG=1");
}

}  // namespace leeward::daemon
