#include "daemon/page/page_assets.hpp"

#include <string>

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

std::string text_of(std::span<const unsigned char> bytes) { return {bytes.begin(), bytes.end()}; }

TEST(PageAssets, HoldTheFilesThatThePageAsksFor) {
  for (const char* path : {"/", "/assets/app.js", "/assets/app.css", "/icon.svg", "/manifest.webmanifest"})
    EXPECT_NE(find_page_asset(path), nullptr) << path;
}

TEST(PageAssets, HoldNothingElse) {
  for (const char* path : {"", "/assets/", "/assets/../v1/status", "/index.html", "/assets/app.js.map"})
    EXPECT_EQ(find_page_asset(path), nullptr) << path;
}

TEST(PageAssets, AreCompressedAndNamedByTheirContent) {
  const PageAsset* script = find_page_asset("/assets/app.js");
  ASSERT_NE(script, nullptr);

  EXPECT_LT(script->gzip.size(), script->plain.size());
  EXPECT_EQ(script->gzip[0], 0x1f);
  EXPECT_EQ(script->gzip[1], 0x8b);
  EXPECT_EQ(script->etag.front(), '"');
  EXPECT_NE(script->etag, find_page_asset("/")->etag);
}

TEST(PageAssets, TakeLessThan200KilobytesInAll) {
  std::size_t bytes = 0;
  for (const char* path : {"/", "/assets/app.js", "/assets/app.css", "/icon.svg", "/manifest.webmanifest"})
    bytes += find_page_asset(path)->gzip.size();
  EXPECT_LT(bytes, 200'000U);
}

TEST(PageAssets, HoldNoScriptOrStyleInTheMarkupItself) {
  const std::string html = text_of(find_page_asset("/")->plain);
  EXPECT_EQ(html.find("<style"), std::string::npos);
  EXPECT_EQ(html.find("style="), std::string::npos);
  EXPECT_EQ(html.find("<script>"), std::string::npos);
}

}  // namespace
}  // namespace leeward::daemon
