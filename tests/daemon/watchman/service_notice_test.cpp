#include "daemon/watchman/service_notice.hpp"

#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <sys/un.h>

#include <array>
#include <cstddef>
#include <string>

namespace leeward::daemon {
namespace {
using std::chrono::milliseconds;

/// systemd's end of the socket, in the abstract space as systemd in a container uses it.
class NoticeTest : public testing::Test {
 protected:
  NoticeTest() : socket_(::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0)) {
    const std::string name = "@leeward-notice-" + std::to_string(::getpid());
    sockaddr_un own{};
    own.sun_family = AF_UNIX;
    name.copy(own.sun_path, name.size());
    own.sun_path[0] = '\0';
    const auto size = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + name.size());
    EXPECT_EQ(::bind(socket_.get(), reinterpret_cast<const sockaddr*>(&own), size), 0);
    ::setenv("NOTIFY_SOCKET", name.c_str(), 1);
  }
  ~NoticeTest() override {
    for (const char* name : {"NOTIFY_SOCKET", "WATCHDOG_USEC", "WATCHDOG_PID"}) ::unsetenv(name);
  }
  std::string heard() {
    std::array<char, 256> text{};
    const ssize_t size = ::recv(socket_.get(), text.data(), text.size(), 0);
    return size > 0 ? std::string(text.data(), static_cast<std::size_t>(size)) : std::string();
  }
  UniqueFd socket_;
};

TEST_F(NoticeTest, SaysItToTheSocketOfTheEnvironment) {
  const ServiceNotice notice;
  notice.say("READY=1");
  EXPECT_EQ(heard(), "READY=1");
}

TEST_F(NoticeTest, FeedsTheWatchdogFourTimesWithinItsLimit) {
  ::setenv("WATCHDOG_USEC", "1000000", 1);
  ServiceNotice notice;
  notice.alive(milliseconds(1000));
  EXPECT_EQ(heard(), "WATCHDOG=1");
  notice.alive(milliseconds(1249));
  EXPECT_EQ(heard(), "");
  notice.alive(milliseconds(1250));
  EXPECT_EQ(heard(), "WATCHDOG=1");
}

TEST_F(NoticeTest, AnotherProcessesWatchdogIsNoneOfItsBusiness) {
  ::setenv("WATCHDOG_USEC", "1000000", 1);
  ::setenv("WATCHDOG_PID", "1", 1);
  ServiceNotice notice;
  notice.alive(milliseconds(1000));
  EXPECT_EQ(heard(), "");
}

TEST_F(NoticeTest, WithoutASocketNothingIsSaid) {
  ::unsetenv("NOTIFY_SOCKET");
  ServiceNotice notice;
  notice.say("READY=1");
  notice.alive(milliseconds(1000));
  EXPECT_EQ(heard(), "");
}

}  // namespace
}  // namespace leeward::daemon
