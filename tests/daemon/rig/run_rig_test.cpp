#include "daemon/rig/run_rig.hpp"

#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <sys/wait.h>

#include <csignal>
#include <cstring>
#include <filesystem>
#include <limits>

#include "tests/daemon/rig/running_rig.hpp"

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using namespace std::chrono_literals;
using std::chrono::steady_clock;

/// run_rig in a process of its own; `ready` has been read when the constructor returns.
class RigProcess {
 public:
  explicit RigProcess(const RigOptions& options) {
    std::array<int, 2> pipe_fds{};
    EXPECT_EQ(::pipe(pipe_fds.data()), 0);
    pid_ = ::fork();
    if (pid_ == 0) {
      ::dup2(pipe_fds[1], STDOUT_FILENO);
      ::_exit(run_rig(options) ? 0 : 1);
    }
    ::close(pipe_fds[1]);
    output_ = UniqueFd(pipe_fds[0]);
    while (first_line_.find('\n') == std::string::npos &&
           wait_for(output_.get(), POLLIN, steady_clock::now() + 10s)) {
      char byte = 0;
      if (::read(output_.get(), &byte, 1) != 1) break;
      first_line_ += byte;
    }
  }
  ~RigProcess() {
    if (pid_ > 0) (void)end(SIGKILL);
  }
  [[nodiscard]] const std::string& first_line() const { return first_line_; }
  [[nodiscard]] int port() const { return std::stoi(first_line_.substr(first_line_.find(':') + 1)); }
  /// @returns the status as waitpid gives it
  int end(int signal) {
    ::kill(pid_, signal);
    int status = -1;
    ::waitpid(pid_, &status, 0);
    pid_ = -1;
    return status;
  }

 private:
  pid_t pid_ = -1;
  UniqueFd output_;
  std::string first_line_;
};

RigOptions on_any_port() {
  RigOptions options;
  options.port = 0;
  return options;
}

TEST(RunRig, SaysWhereItListensServesAndEndsCleanlyOnASignal) {
  for (const int signal : {SIGTERM, SIGINT}) {
    RigProcess rig(on_any_port());
    ASSERT_EQ(rig.first_line().substr(0, 16), "ready 127.0.0.1:");
    {
      running::LibraryClient client(rig.port());
      EXPECT_GE(client.counter(), 0);
    }
    const int status = rig.end(signal);
    EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0);
  }
}

TEST(RunRig, APortThatIsTakenIsAnInputOutputError) {
  const auto taken = listen_tcp("127.0.0.1", 0);
  RigOptions options = on_any_port();
  options.port = local_port(*taken);
  const auto ran = run_rig(options);
  ASSERT_FALSE(ran);
  EXPECT_NE(ran.error().code, control::Errc::out_of_range);
}

TEST(RunRig, ASpeedThatIsNoneIsRefused) {
  for (const double speed : {0.0, -1.0, std::numeric_limits<double>::quiet_NaN(), 1e9}) {
    RigOptions options = on_any_port();
    options.speed = speed;
    const auto ran = run_rig(options);
    ASSERT_FALSE(ran);
    EXPECT_EQ(ran.error().code, control::Errc::out_of_range);
    EXPECT_EQ(ran.error().field, "speed");
  }
}

/// The few words of HTTP that one look of the crew takes: the asks once, then the answer.
class OneAskDaemon {
 public:
  explicit OneAskDaemon(const std::string& path) : socket_(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, path.c_str(), sizeof address.sun_path - 1);
    EXPECT_EQ(::bind(socket_.get(), reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    EXPECT_EQ(::listen(socket_.get(), 8), 0);
  }
  /// Answers one connection with the body. @returns what was asked
  std::string serve_one(const std::string& body) {
    if (!wait_for(socket_.get(), POLLIN, steady_clock::now() + 10s)) return {};
    const UniqueFd client(::accept(socket_.get(), nullptr, nullptr));
    std::string request;
    std::array<char, 4096> bytes{};
    while (request.find("\r\n\r\n") == std::string::npos ||
           (request.starts_with("POST") && request.find("done") == std::string::npos)) {
      if (!wait_for(client.get(), POLLIN, steady_clock::now() + 5s)) break;
      const ssize_t n = ::read(client.get(), bytes.data(), bytes.size());
      if (n <= 0) break;
      request.append(bytes.data(), static_cast<std::size_t>(n));
    }
    const std::string reply =
        "HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nConnection: close\r\nContent-Length: " +
        std::to_string(body.size()) + "\r\n\r\n" + body;
    (void)!::write(client.get(), reply.data(), reply.size());
    return request;
  }

 private:
  UniqueFd socket_;
};

TEST(RunRig, ItsCrewUncoversTheFanAndAnswers) {
  const auto directory =
      std::filesystem::temp_directory_path() / ("leeward-crew-" + std::to_string(::getpid()));
  std::filesystem::create_directories(directory);
  RigOptions options = on_any_port();
  options.auto_crew_s = 0;
  options.socket_path = (directory / "daemon.sock").string();
  {
    RigProcess rig(options);  // before there is a daemon
    OneAskDaemon daemon(options.socket_path);
    EXPECT_NE(daemon.serve_one(R"({"asks":[{"id":"5","kind":"uncover_fan","fan":1}]})").find("GET /v1/asks"),
              std::string::npos);
    EXPECT_NE(daemon.serve_one("{}").find("POST /v1/asks/5"), std::string::npos);

    running::LibraryClient client(rig.port());
    std::uint16_t covered = 1;
    EXPECT_EQ(modbus_read_registers(client.context(), reg::kCovered, 1, &covered), 1);
    EXPECT_EQ(covered, 0);
  }
  std::filesystem::remove_all(directory);
}

}  // namespace
}  // namespace leeward::daemon
