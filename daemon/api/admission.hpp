#pragma once
/// Whether a request is let in, and who sends it.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/api/access_desk.hpp"
#include "daemon/api/problem.hpp"

namespace leeward::daemon {

/// What a route asks of the caller.
enum class Needs : std::uint8_t {
  nothing,    ///< anybody who can reach the port
  reading,    ///< any token
  operating,  ///< an operator: stop, answers
  helm        ///< an operator who has or takes the helm: commands
};

/// The parts of a request that this is judged by.
struct RequestHead {
  std::string_view method{};
  std::string_view path{};
  std::string_view host{};
  std::string_view origin{};
  std::string_view authorization{};
  std::string_view cookie{};
  std::string_view local_user{};  ///< who owns the other end of the Unix socket; empty on TCP
  std::string_view address{};     ///< of the other end on TCP
  bool is_tcp = false;
};

struct Admission {
  Caller caller;
  std::optional<Problem> refusal;
  bool is_guess = false;  ///< a wrong or missing token: the answer shall be slow
};

/// Counts the request, takes or keeps the helm where the route needs it.
/// @param own_names  as check_host takes them
[[nodiscard]] Admission admit(AccessDesk& desk, const RequestHead& head, Needs needs,
                              const std::vector<std::string>& own_names, double now_s,
                              std::int64_t now_unix_s);

}  // namespace leeward::daemon
