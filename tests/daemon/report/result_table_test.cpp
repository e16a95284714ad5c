#include "daemon/report/result_table.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "daemon/report/result_json.hpp"
#include "daemon/report/text_block.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;

std::string result_table_example(int directions = 1) {
  return result_table(result_json({"run-20261125-140733", "0.1.0", control::RunState::done, 0},
                                  example::record(directions), example::result(directions),
                                  example::engine()));
}

TEST(ResultTable, FitsIntoEightyColumns) {
  std::istringstream lines(result_table_example(2));
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
}

TEST(ResultTable, SaysTheHeadlineWithItsIntervalAndWhatItMeans) {
  const std::string text = result_table_example();

  // 0.026 * 50^0.65 * 3600 = 1190.1, plus and minus 3 %, computed here
  EXPECT_THAT(text,
              HasSubstr("q50    1190 m3/h           1154 to 1226      flow through the envelope at 50 Pa"));
  EXPECT_THAT(text, HasSubstr("air changes an hour"));
  EXPECT_THAT(text, HasSubstr("95 % interval"));
}

TEST(ResultTable, ListsStationsBaselinesAndChecksWithClauseAndMark) {
  const std::string text = result_table_example();

  EXPECT_THAT(text, HasSubstr("bore-290"));
  EXPECT_THAT(text, HasSubstr("not settled, signal out of range"));
  EXPECT_THAT(text, HasSubstr("depressurize, before      -1.50 Pa  standard error 0.10 Pa, 30 s"));
  EXPECT_THAT(text, HasSubstr("invalid    Number of pressure stations: 2, at least 5: failed (clause 5.3;"));
  EXPECT_THAT(text, HasSubstr("recalled from memory"));
}

TEST(ResultTable, OutlivesAnythingThatIsNoResult) {
  using nlohmann::json;
  EXPECT_EQ(result_table(json()), "No result.\n");
  EXPECT_EQ(result_table(json::array({1, 2})), "No result.\n");
  EXPECT_THAT(result_table(json::object()), HasSubstr("not enough stations"));
  const json odd = {
      {"stations", 5}, {"verdicts", {1, "x"}}, {"q50_m3_h", "many"}, {"building", 3}, {"cautions", {1}}};
  EXPECT_THAT(result_table(odd), HasSubstr("not enough stations"));
}

TEST(Wrapped, BreaksAtBlanksAndIndents) {
  const std::string text = wrapped("word       ", std::string(60, 'a') + " " + std::string(20, 'b') + " c");

  EXPECT_EQ(text, "word       " + std::string(60, 'a') + "\n           " + std::string(20, 'b') + " c\n");
}

TEST(Columns, CountLettersNotBytes) {
  EXPECT_EQ(right_in("\u00e9\u00e9", 4), "  \u00e9\u00e9");
  EXPECT_EQ(left_in("abcdef", 3), "abcdef");
}

}  // namespace
}  // namespace leeward::daemon
