#include "daemon/page/page_assets.hpp"

#include "daemon/page/page_bundle.hpp"

namespace leeward::daemon {

const PageAsset* find_page_asset(std::string_view path) {
  for (const NamedAsset& named : page_bundle())
    if (named.path == path) return &named.asset;
  return nullptr;
}

}  // namespace leeward::daemon
