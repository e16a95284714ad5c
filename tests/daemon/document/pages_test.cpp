#include "daemon/document/pages.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

Strip strip_of(double height, bool stays_with_next = false) {
  Strip strip;
  strip.height = height;
  strip.stays_with_next = stays_with_next;
  return strip;
}

TEST(PagesOf, TurnsThePageWhereAStripDoesNotFit) {
  const std::vector<Strip> strips = {strip_of(60), strip_of(30), strip_of(20)};

  const auto pages = pages_of(strips, 100);

  ASSERT_EQ(pages.size(), 2U);
  EXPECT_EQ(pages[0].size(), 2U);
  EXPECT_EQ(pages[1][0].top, 0);
}

TEST(PagesOf, KeepsAHeadingWithWhatItHeads) {
  const std::vector<Strip> strips = {strip_of(80), strip_of(10, true), strip_of(20)};

  const auto pages = pages_of(strips, 100);

  ASSERT_EQ(pages.size(), 2U);
  EXPECT_EQ(pages[0].size(), 1U);
  EXPECT_EQ(pages[1].size(), 2U);
}

TEST(PagesOf, RepeatsTheHeadOfADividedTable) {
  const auto head = std::make_shared<const Strip>(strip_of(10));
  std::vector<Strip> strips = {strip_of(10, true)};
  for (int i = 0; i < 10; ++i) {
    strips.push_back(strip_of(15));
    strips.back().head = head;
  }

  const auto pages = pages_of(strips, 100);

  ASSERT_EQ(pages.size(), 2U);
  EXPECT_EQ(pages[1][0].strip, head.get());
  EXPECT_EQ(pages[1][1].top, 10);
}

TEST(PagesOf, GivesAStripHigherThanAPageOneOfItsOwn) {
  const std::vector<Strip> strips = {strip_of(10), strip_of(300), strip_of(10)};

  EXPECT_EQ(pages_of(strips, 100).size(), 3U);
}

TEST(PagesOf, LeavesOutTheSpaceAtTheTopOfAPage) {
  std::vector<Strip> strips = {strip_of(90), strip_of(50)};
  strips[1].space_before = 12;

  EXPECT_EQ(pages_of(strips, 100)[1][0].top, 0);
}

TEST(PaperSize, IsThatOfTheNorm) {
  EXPECT_NEAR(paper_size(Paper::a4).width, 595.276, 0.001);  // 210 mm, ISO 216
  EXPECT_EQ(paper_size(Paper::letter).height, 792);          // 11 in
}

}  // namespace
}  // namespace leeward::daemon
