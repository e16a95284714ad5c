#pragma once
/// The files of the crew's page, as they are served.

#include <span>
#include <string_view>

namespace leeward::daemon {

struct PageAsset {
  std::string_view content_type;
  std::string_view etag;  ///< with its quotes
  std::span<const unsigned char> gzip;
  std::span<const unsigned char> plain;
};

/// @param path  as in the request: "/", "/assets/app.js", ...
/// @returns nullptr when the page has no such file
[[nodiscard]] const PageAsset* find_page_asset(std::string_view path);

}  // namespace leeward::daemon
