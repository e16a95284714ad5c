#pragma once
/// Listens on a Unix socket and, only when told to, on TCP, and serves the API from one thread.

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "control/result.hpp"
#include "daemon/api/access_desk.hpp"
#include "daemon/api/event_hub.hpp"
#include "daemon/api/router.hpp"

namespace leeward::daemon {

struct ListenOptions {
  std::string socket_path;  ///< mode 0600; a leftover of a dead daemon is replaced
  std::string tcp_host;
  int tcp_port = -1;                 ///< below 0: no TCP; 0: any free one
  std::vector<std::string> names{};  ///< it is called by, beside its own and its addresses
};

class ApiServer {
 public:
  /// @param desk  used by the serving thread alone once start() was called; its gate is that of TCP
  ApiServer(const Router& router, EventHub& hub, AccessDesk& desk);
  ~ApiServer();
  ApiServer(const ApiServer&) = delete;
  ApiServer& operator=(const ApiServer&) = delete;

  /// Errors   io with field "socket" or "listen.tcp_host"; conflict for TCP without a gate
  [[nodiscard]] control::Result<void> listen(const ListenOptions& options);
  [[nodiscard]] int tcp_port() const;
  void start();
  /// Runs a job on the serving thread. Any thread, until stop().
  void post(std::function<void()> job);
  /// Closes every connection, once the answers given so far are written, and joins the thread. Idempotent.
  /// Every request that was submitted must have been answered before.
  void stop();

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

/// Makes the folder of the socket (0700) where it is missing.
/// Errors   io; conflict when it is a link or, for `must_own`, belongs to another user or lets others in
[[nodiscard]] control::Result<void> prepare_socket_folder(const std::string& socket_path, bool must_own);

}  // namespace leeward::daemon
