#pragma once
/// What keeps the pages of others out on TCP: Host and Origin.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/api/problem.hpp"

namespace leeward::daemon {

/// A name that some page made to point here (DNS rebinding) is refused: 421.
/// @param own_names  allowed beside localhost and every IP literal, which no page can make point elsewhere
[[nodiscard]] std::optional<Problem> check_host(std::string_view host,
                                                const std::vector<std::string>& own_names);

/// A browser says which page a request comes from; only our own may: 403.
[[nodiscard]] std::optional<Problem> check_origin(std::string_view origin, std::string_view host);

/// This machine's names, plain and with .local.
[[nodiscard]] std::vector<std::string> names_of_this_host();

}  // namespace leeward::daemon
