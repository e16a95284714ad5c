#pragma once
/// A Unix socket that reads one request a connection and answers with bytes given beforehand.

#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

namespace leeward::daemon {

class ScriptedServer {
 public:
  /// @param hang  keep the connection open and say nothing more, until the peer has gone
  explicit ScriptedServer(std::vector<std::string> answers, bool hang = false) {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-client-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
    path_ = folder_ + "/s";
    listener_ = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, path_.c_str(), sizeof address.sun_path - 1);
    (void)::bind(listener_, reinterpret_cast<const sockaddr*>(&address), sizeof address);
    (void)::listen(listener_, 8);
    thread_ = std::thread([this, answers = std::move(answers), hang] {
      for (const std::string& answer : answers) serve_one(answer, hang);
    });
  }
  ~ScriptedServer() {
    ::shutdown(listener_, SHUT_RDWR);
    thread_.join();
    ::close(listener_);
    std::filesystem::remove_all(folder_);
  }
  [[nodiscard]] const std::string& path() const { return path_; }
  /// Only after the client's call has returned.
  [[nodiscard]] const std::string& request() const { return request_; }

 private:
  void serve_one(const std::string& answer, bool hang) {
    const int fd = ::accept(listener_, nullptr, nullptr);
    if (fd < 0) return;
    char bytes[4096];
    std::string got;
    while (got.find("\r\n\r\n") == std::string::npos) {
      const ssize_t n = ::read(fd, bytes, sizeof bytes);
      if (n <= 0) break;
      got.append(bytes, static_cast<std::size_t>(n));
    }
    request_ = got;
    (void)::send(fd, answer.data(), answer.size(), MSG_NOSIGNAL);
    while (hang && ::read(fd, bytes, sizeof bytes) > 0) {
    }
    ::close(fd);
  }
  std::string folder_;
  std::string path_;
  std::string request_;
  int listener_ = -1;
  std::thread thread_;
};

}  // namespace leeward::daemon
