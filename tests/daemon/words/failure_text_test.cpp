#include "daemon/words/failure_text.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "control/guard/failure_table.hpp"
#include "daemon/words/trip_text.hpp"

namespace leeward::daemon {
namespace {

TEST(FailureText, TellsEveryRowAndEachTripInTheWordsOfTheTrip) {
  const std::string text = failure_text();

  for (const control::FailureRow& row : control::failure_table()) {
    EXPECT_NE(text.find(std::string(row.cause) + "\n"), std::string::npos) << row.cause;
    if (row.trip != control::TripCause::none) {
      EXPECT_NE(text.find(trip_advice(row.trip)), std::string::npos) << row.cause;
    }
  }
}

TEST(FailureText, IsTheTableOfTheContributorsGuide) {
  std::ifstream file(LEEWARD_SOURCE_DIR "/DEVELOPERS.md");
  std::stringstream guide;
  guide << file.rdbuf();

  EXPECT_NE(guide.str().find(failure_markdown()), std::string::npos)
      << "put the output of `leeward help failures --markdown` into DEVELOPERS.md";
}

TEST(FailureText, SaysWhatNobodyWatches) {
  EXPECT_NE(
      failure_text().find("battery or supply low\n  seen     no device that reports it is supported yet\n"
                          "  done     nothing is done\n  told     nothing\n  watched by nobody yet\n"),
      std::string::npos);
}

}  // namespace
}  // namespace leeward::daemon
