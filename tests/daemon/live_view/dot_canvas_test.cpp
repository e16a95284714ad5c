#include "daemon/live_view/dot_canvas.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(DotCanvas, PutsEightDotsIntoALetter) {
  DotCanvas canvas(1, 1, true);
  canvas.dot(0, 0, Ink::measured);
  canvas.dot(1, 3, Ink::measured);

  // Dots 1 and 8 of U+2800: bits 0x01 and 0x80 (The Unicode Standard, braille patterns).
  EXPECT_EQ(canvas.row(0), "\u2881");
}

TEST(DotCanvas, LetsTheMeasuredCoverThePlannedInAscii) {
  DotCanvas canvas(5, 1, false);
  canvas.line(0, 0, 4, 0, Ink::planned);
  canvas.line(1, 0, 2, 0, Ink::measured);
  canvas.line(0, 0, 4, 0, Ink::zero);

  EXPECT_EQ(canvas.row(0), "-**--");
}

TEST(DotCanvas, DotsWhatIsOnlyPlanned) {
  DotCanvas planned(6, 1, true);
  DotCanvas measured(6, 1, true);
  planned.line(0, 0, 11, 0, Ink::planned);
  measured.line(0, 0, 11, 0, Ink::measured);

  EXPECT_NE(planned.row(0), measured.row(0));
}

TEST(DotCanvas, DrawsNothingOutside) {
  DotCanvas canvas(2, 2, true);
  canvas.line(-50, -9, -1, 99, Ink::measured);
  canvas.dot(4, 0, Ink::measured);
  canvas.dot(0, 8, Ink::measured);

  EXPECT_EQ(canvas.row(0) + canvas.row(1), "");
}

}  // namespace leeward::daemon
