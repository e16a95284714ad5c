#pragma once
/// Entity tags: what a client has already is not sent again.

#include <string_view>

#include "daemon/api/http_message.hpp"

namespace leeward::daemon {

/// Gives the answer its ETag where its route marked it as one to validate, and makes it 304 without a body
/// where the client has it.
/// @param if_none_match  the header's value, empty where absent
/// Source  RFC 9110, 8.8.3 and 13.1.2
void validate(ApiResponse& response, std::string_view if_none_match);

}  // namespace leeward::daemon
