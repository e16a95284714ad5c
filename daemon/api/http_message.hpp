#pragma once
/// A request and its answer as the handlers see them: no socket, no HTTP library.

#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace leeward::daemon {

struct ApiRequest {
  std::string method;  ///< GET, POST, ...
  std::string path;    ///< as it came, without the query: no name of ours needs escaping
  std::string query;   ///< as it came, without the question mark
  std::string content_type;
  std::string body;
  bool is_local = false;  ///< came over the Unix socket: who asks is on this machine
};

struct ApiResponse {
  int status = 200;
  std::string content_type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
};

/// Called once, from any thread.
using Reply = std::function<void(ApiResponse)>;

}  // namespace leeward::daemon
