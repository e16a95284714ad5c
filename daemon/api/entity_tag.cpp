#include "daemon/api/entity_tag.hpp"

#include "daemon/access/secret.hpp"

namespace leeward::daemon {

void validate(ApiResponse& response, std::string_view if_none_match) {
  if (response.status != 200 || !response.may_be_kept) return;
  constexpr std::size_t kTagDigits = 32;
  const std::string tag = "\"" + sha256_hex(response.body).substr(0, kTagDigits) + "\"";
  response.headers.emplace_back("ETag", tag);
  // A text that holds the tag, among others or marked as weak, or any at all.
  if (if_none_match != "*" && if_none_match.find(tag) == std::string_view::npos) return;
  response.status = 304;
  response.body.clear();
}

}  // namespace leeward::daemon
