#pragma once
/// The crew's page as an answer.

#include <string_view>

#include "daemon/api/http_message.hpp"
#include "daemon/page/page_assets.hpp"

namespace leeward::daemon {

/// Compressed where the browser takes that, 304 where it has the file already. Nothing secret is in the page,
/// so it goes out before a token is known; what the page may do is bound by a strict policy.
/// @param accept_encoding, if_none_match  the headers' values, empty where absent
[[nodiscard]] ApiResponse page_response(const PageAsset& asset, std::string_view accept_encoding,
                                        std::string_view if_none_match);

}  // namespace leeward::daemon
