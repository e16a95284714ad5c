#include "daemon/cli/strip_plot.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::daemon {
namespace {

TEST(StripPlot, ShowsEachTimeFromItsLowestToItsHighest) {
  EXPECT_EQ(strip_plot({0, 0, 2, 2, 1, 2}, "title", 0, 3, 3),
            "title\n"
            "       2 | **\n"
            "       1 |  *\n"
            "       0 |*\n");
}

TEST(StripPlot, IsNeverWiderThanATerminal) {
  std::vector<double> values;
  for (int i = 0; i < 5000; ++i) values.push_back(std::sin(0.01 * i));

  const std::string plot = strip_plot(values, "t", 1);

  for (std::size_t begin = 0; begin < plot.size();) {
    const std::size_t end = plot.find('\n', begin);
    ASSERT_NE(end, std::string::npos);
    EXPECT_LE(end - begin, 80U);
    begin = end + 1;
  }
}

TEST(StripPlot, OfNothingIsEmpty) {
  EXPECT_EQ(strip_plot({}, "t", 1), "");
  EXPECT_EQ(strip_plot({1, 1, 1}, "t", 1), "");
  EXPECT_EQ(strip_plot({std::nan(""), 1}, "t", 1), "");
}

}  // namespace
}  // namespace leeward::daemon
