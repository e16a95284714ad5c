#pragma once
/// A child process of a test: its output is awaited by line, never by sleeping.

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstdlib>
#include <optional>
#include <string>
#include <vector>

extern char** environ;

namespace leeward::e2e {

using Clock = std::chrono::steady_clock;

/// The binary under test: LEEWARD_BINARY of the environment (a sanitizer build, say), else the built one.
inline std::string binary() {
  const char* other = std::getenv("LEEWARD_BINARY");
  return other != nullptr ? other : LEEWARD_BINARY_BUILT;
}

class Process {
 public:
  explicit Process(std::vector<std::string> arguments) {
    std::array<int, 2> out{};
    if (::pipe2(out.data(), O_CLOEXEC) != 0) return;
    out_ = out[0];
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, out[1], 1);
    std::vector<char*> argv;
    for (std::string& a : arguments) argv.push_back(a.data());
    argv.push_back(nullptr);
    if (::posix_spawn(&pid_, argv[0], &actions, nullptr, argv.data(), environ) != 0) pid_ = -1;
    posix_spawn_file_actions_destroy(&actions);
    ::close(out[1]);
  }
  ~Process() {
    if (pid_ > 0 && !code_) {
      ::kill(pid_, SIGKILL);
      (void)wait_for_exit(std::chrono::seconds(10));
    }
    if (out_ >= 0) ::close(out_);
  }
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;

  [[nodiscard]] pid_t pid() const { return pid_; }
  void signal(int number) const { ::kill(pid_, number); }

  /// The next line that begins so, or nothing when the output ends or the time is over.
  std::optional<std::string> await_line(const std::string& begin, std::chrono::seconds at_most) {
    const auto deadline = Clock::now() + at_most;
    for (;;) {
      for (std::size_t end = text_.find('\n', read_); end != std::string::npos;
           end = text_.find('\n', read_)) {
        std::string line = text_.substr(read_, end - read_);
        read_ = end + 1;
        if (line.rfind(begin, 0) == 0) return line;
      }
      if (!read_more(deadline)) return std::nullopt;
    }
  }

  /// Reads to the end of the output and takes the exit code; -signal for a killed process, -1000 for a
  /// time-out.
  int wait_for_exit(std::chrono::seconds at_most) {
    const auto deadline = Clock::now() + at_most;
    while (read_more(deadline)) {
    }
    if (Clock::now() >= deadline) return -1000;
    int status = 0;
    if (!code_ && ::waitpid(pid_, &status, 0) == pid_)
      code_ = WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
    return code_.value_or(-1001);
  }
  [[nodiscard]] const std::string& output() const { return text_; }

 private:
  bool read_more(Clock::time_point deadline) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(deadline - Clock::now()).count();
    pollfd wait{out_, POLLIN, 0};
    if (left <= 0 || ::poll(&wait, 1, static_cast<int>(left)) <= 0) return false;
    std::array<char, 4096> buffer{};
    const ssize_t n = ::read(out_, buffer.data(), buffer.size());
    if (n <= 0) return false;
    text_.append(buffer.data(), static_cast<std::size_t>(n));
    return true;
  }

  pid_t pid_ = -1;
  int out_ = -1;
  std::string text_;
  std::size_t read_ = 0;
  std::optional<int> code_;
};

}  // namespace leeward::e2e
