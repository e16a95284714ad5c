#pragma once
/// Who sent a request, and what they may do.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace leeward::daemon {

enum class Role : std::uint8_t {
  viewer,    ///< reads
  operating  ///< commands as well
};

[[nodiscard]] constexpr std::string_view role_name(Role role) {
  return role == Role::operating ? "operator" : "viewer";
}

struct Caller {
  std::string name{};  ///< of the token, or `local:USER` on the Unix socket
  Role role = Role::viewer;
  bool by_cookie = false;  ///< a browser sent its credentials by itself
};

}  // namespace leeward::daemon
