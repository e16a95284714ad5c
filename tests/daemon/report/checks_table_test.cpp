#include "daemon/report/checks_table.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace leeward::daemon {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

json checks_example(const char* outcome, const char* severity, const char* mark) {
  return {{"verdicts",
           {{{"label", "Number of stations"},
             {"outcome", outcome},
             {"severity", severity},
             {"mark", mark},
             {"mark_text", "limit read in a book"},
             {"clause", "clause 5.3"},
             {"seen_text", "8"},
             {"limit_text", "at least 5"},
             {"direction", "pressurize"}}}}};
}

TEST(ChecksTable, TakesOneLineForACheckThatPassed) {
  EXPECT_EQ(checks_table(checks_example("passed", "invalid", "source")),
            "\nChecks\n"
            "passed    Number of stations                   8  at least 5        pressurize\n");
}

TEST(ChecksTable, GivesTheGroundsOfACheckThatFailed) {
  EXPECT_EQ(checks_table(checks_example("failed", "deviation", "source")),
            "\nChecks\n"
            "deviation Number of stations                   8  at least 5        pressurize\n"
            "          clause 5.3; limit read in a book\n");
}

TEST(ChecksTable, MarksALimitThatWasNotChecked) {
  const std::string unchecked = checks_table(checks_example("passed", "invalid", "memory"));

  EXPECT_THAT(unchecked, HasSubstr("at least 5*"));
  EXPECT_THAT(unchecked, HasSubstr("* limit not checked against the standard's text\n"));
  EXPECT_THAT(checks_table(checks_example("passed", "invalid", "source")), Not(HasSubstr("*")));
}

TEST(ChecksTable, SaysInOneLineThatACheckDoesNotApply) {
  json result = checks_example("not_applicable", "advice", "memory");
  result["verdicts"][0]["seen_text"] = "";

  const std::string text = checks_table(result);

  EXPECT_THAT(text, HasSubstr("-         Number of stations            not applicable or not known"));
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 3);
}

TEST(ChecksTable, OutlivesWhatIsNoVerdict) {
  EXPECT_EQ(checks_table(json::object()), "");
  EXPECT_EQ(checks_table({{"verdicts", {1, "x"}}}), "\nChecks\n");
}

}  // namespace
}  // namespace leeward::daemon
