#pragma once
/// A request and its answer as the handlers see them: no socket, no HTTP library.

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/access/caller.hpp"

namespace leeward::daemon {

struct ApiRequest {
  std::string method;  ///< GET, POST, ...
  std::string path;    ///< as it came, without the query: no name of ours needs escaping
  std::string query;   ///< as it came, without the question mark
  std::string content_type;
  std::string body;
  bool is_local = false;  ///< came over the Unix socket: who asks is on this machine
  Caller caller{.role = Role::operating};
  std::string address{};          ///< of the other end on TCP
  std::string origin{};           ///< of the page that sent it; empty: no page did
  std::string idempotency_key{};  ///< empty: none was given
};

struct ApiResponse {
  int status = 200;
  std::string content_type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
  bool may_be_kept = false;  ///< by the client, which asks with its entity tag whether it still holds
};

/// Called once, from any thread.
using Reply = std::function<void(ApiResponse)>;

}  // namespace leeward::daemon
