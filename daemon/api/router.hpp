#pragma once
/// Which handler answers a request, and what is said when none does.

#include <string_view>
#include <vector>

#include "daemon/api/admission.hpp"
#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

struct RouteName {
  std::string_view method;
  std::string_view pattern;  ///< a segment `*` stands for any text
  Needs needs;
};

class Router {
 public:
  explicit Router(ApiContext context) : context_(std::move(context)) {}

  /// @param reply  called once, from this or another thread
  /// Errors   404 for an unknown path, 405 with Allow, 415 for a body that is not application/json
  void handle(const ApiRequest& request, Reply reply) const;

  /// What the route asks of who sends the request; reading, where there is no such route.
  [[nodiscard]] Needs needs(std::string_view method, std::string_view path) const;

  /// All that handle() answers.
  [[nodiscard]] static std::vector<RouteName> routes();

  /// Reads files: to be handled away from the thread that serves the sockets.
  [[nodiscard]] bool is_slow(const ApiRequest& request) const;

 private:
  ApiContext context_;
};

}  // namespace leeward::daemon
