#pragma once
/// What keeps strangers out on TCP: bearer token, Host, Origin. The Unix socket is trusted by its mode.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "control/result.hpp"
#include "daemon/api/problem.hpp"

namespace leeward::daemon {

/// Compares in a time that does not depend on where the texts differ.
[[nodiscard]] bool same_secret(std::string_view a, std::string_view b);

/// @param authorization  the header's value
[[nodiscard]] bool token_matches(std::string_view authorization, std::string_view token);

/// A name that some page made to point here (DNS rebinding) is refused: 421.
/// @param own_names  allowed beside localhost and every IP literal, which no page can make point elsewhere
[[nodiscard]] std::optional<Problem> check_host(std::string_view host,
                                                const std::vector<std::string>& own_names);

/// A browser says which page a request comes from; only our own may: 403.
[[nodiscard]] std::optional<Problem> check_origin(std::string_view origin, std::string_view host);

/// This machine's names, plain and with .local.
[[nodiscard]] std::vector<std::string> names_of_this_host();

/// Errors   io: not there; conflict: readable by others or owned by someone else; out_of_range: shorter
///          than 16 bytes
[[nodiscard]] control::Result<std::string> read_token_file(const std::string& path);

}  // namespace leeward::daemon
