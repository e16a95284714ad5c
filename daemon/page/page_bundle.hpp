#pragma once
/// What build_page.mjs makes of the page's sources; the definition is generated into the build folder.

#include <span>
#include <string_view>

#include "daemon/page/page_assets.hpp"

namespace leeward::daemon {

struct NamedAsset {
  std::string_view path;
  PageAsset asset;
};

[[nodiscard]] std::span<const NamedAsset> page_bundle();

}  // namespace leeward::daemon
