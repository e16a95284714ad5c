// What systemd hears of the watchman: ready once the daemon is, then its sign of life, which ends with it.
#include <gtest/gtest.h>
#include <sys/socket.h>
#include <sys/un.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;

/// systemd's end of the socket.
class ServiceManager {
 public:
  explicit ServiceManager(const std::string& path)
      : socket_(::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0)) {
    sockaddr_un own{};
    own.sun_family = AF_UNIX;
    path.copy(own.sun_path, sizeof own.sun_path - 1);
    EXPECT_EQ(::bind(socket_, reinterpret_cast<const sockaddr*>(&own), sizeof own), 0);
    ::setenv("NOTIFY_SOCKET", path.c_str(), 1);
    ::setenv("WATCHDOG_USEC", "2000000", 1);
  }
  ~ServiceManager() {
    ::unsetenv("NOTIFY_SOCKET");
    ::unsetenv("WATCHDOG_USEC");
    ::close(socket_);
  }
  ServiceManager(const ServiceManager&) = delete;
  ServiceManager& operator=(const ServiceManager&) = delete;

  bool hears(const std::string& begin, seconds at_most) const {
    return await(
        [&] {
          std::array<char, 512> text{};
          while (::recv(socket_, text.data(), text.size() - 1, 0) > 0)
            if (std::string(text.data()).starts_with(begin)) return true;
          return false;
        },
        at_most);
  }

  /// What is on its way.
  void forget() const {
    std::array<char, 512> text{};
    while (::recv(socket_, text.data(), text.size(), 0) > 0) {
    }
  }

 private:
  int socket_;
};

Process serve_in(const Folder& folder) {
  std::string rig = read_text(source("config/rigs/simulated.toml"));
  Bench::replace(rig, "../", source("config/"));
  const std::string file = folder.write("rig.toml", rig);
  return Process({binary(), "serve", "--config", file, "--socket", folder / "api.sock"});
}

TEST(Service, IsReadyAndAliveToSystemdUntilTheWatchmanHangs) {
  const Folder folder;
  const ServiceManager systemd(folder / "notify.sock");
  Process serve = serve_in(folder);

  EXPECT_TRUE(systemd.hears("READY=1\nSTATUS=watching over the daemon", seconds(30)));
  EXPECT_TRUE(systemd.hears("WATCHDOG=1", seconds(2)));
  EXPECT_TRUE(systemd.hears("WATCHDOG=1", seconds(2)));

  serve.signal(SIGSTOP);
  ASSERT_EQ(::waitpid(serve.pid(), nullptr, WUNTRACED), serve.pid());
  systemd.forget();
  EXPECT_FALSE(systemd.hears("WATCHDOG=1", seconds(2)));
  serve.signal(SIGCONT);
  EXPECT_EQ(serve.wait_for_exit(seconds(10)), 70);  // source: EX_SOFTWARE; the daemon missed its watchman
}

TEST(Service, AnOrderlyEndIsSaid) {
  const Folder folder;
  const ServiceManager systemd(folder / "notify.sock");
  Process serve = serve_in(folder);
  ASSERT_TRUE(serve.await_line("ready ", seconds(30)));

  serve.signal(SIGTERM);

  EXPECT_TRUE(systemd.hears("STOPPING=1", seconds(5)));
  EXPECT_EQ(serve.wait_for_exit(seconds(10)), 0);
}

}  // namespace
}  // namespace leeward::e2e
