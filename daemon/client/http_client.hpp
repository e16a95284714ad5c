#pragma once
/// A small blocking HTTP/1.1 client for our own daemon: over its Unix socket, or over TCP with a token.
/// Every call opens its own connection, so that one client may be used from several threads.

#include <chrono>
#include <functional>
#include <string>

#include "control/result.hpp"

namespace leeward::daemon {

struct HttpReply {
  int status = 0;
  std::string content_type;
  std::string body;
};

/// One server-sent event; `id` is empty where the server gave none.
struct StreamEvent {
  std::string id;
  std::string event;
  std::string data;
};

/// Errors   code io; `field` says where it failed: "connect" (nobody there), "permission", "timeout",
/// "exchange", "url".
///          An answer with an error status is a reply, not an error. Nothing is tried twice.
class HttpClient {
 public:
  [[nodiscard]] static HttpClient unix_socket(std::string path);
  /// @param url    http://HOST[:PORT]; a wrong one is an error of each call
  /// @param token  sent as bearer token; empty: none
  [[nodiscard]] static HttpClient url(std::string url, std::string token);

  /// Limit for connecting and, anew, for the whole exchange. Default 10 s.
  void set_timeout(std::chrono::milliseconds timeout) { timeout_ = timeout; }
  [[nodiscard]] const std::string& where() const { return where_; }

  /// @param body_json  sent as application/json; empty: no body
  [[nodiscard]] control::Result<HttpReply> request(const std::string& method, const std::string& target,
                                                   const std::string& body_json = {}) const;

  /// Follows an event stream until the callback returns false or the server ends it (both: no error).
  /// @param last_event_id  where to go on; empty: from now
  /// @param on_wait        called every tenth of a second while nothing comes; false ends the stream, no
  /// error Errors   as request(); also when the server says nothing (no heartbeat either) for the timeout,
  /// and
  ///          "status" when the answer is no stream.
  [[nodiscard]] control::Result<void> stream(const std::string& target,
                                             const std::function<bool(const StreamEvent&)>& on_event,
                                             const std::string& last_event_id = {},
                                             const std::function<bool()>& on_wait = {}) const;

 private:
  HttpClient() = default;
  std::string where_;  ///< socket path or URL, for texts
  bool is_unix_ = true;
  std::string host_;
  std::string port_;
  std::string token_;
  std::chrono::milliseconds timeout_{10000};
  friend class HttpExchange;
};

}  // namespace leeward::daemon
