#include "daemon/report/result_table.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "daemon/report/conditions_text.hpp"
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
  EXPECT_THAT(text,
              HasSubstr("invalid   Number of stations                   2  at least 5*       depressurize\n"
                        "          clause 5.3; limit not checked against the standard's text\n"));
}

TEST(ResultTable, ShowsTheFlowAsTheProgressLinesGaveItAndCorrected) {
  const std::string text = result_table_example();

  EXPECT_THAT(text, HasSubstr("as read  corrected"));
  // 0.33 and 0.34 m3/s
  EXPECT_THAT(text, HasSubstr("1188.0     1224.0"));
}

TEST(ResultTable, ExplainsEachOfTheTwoFitsInOneLine) {
  const std::string text = result_table_example();

  EXPECT_THAT(text,
              HasSubstr("\nStations weighted by their uncertainty; corrected for density and viscosity.\n"));
  EXPECT_THAT(text, HasSubstr("\nAll stations count alike; corrected for density, not for viscosity.\n"));
}

TEST(ResultTable, LeavesR2OutWhereTheExponentWasAssumedAndSaysSo) {
  control::RunRecord record = example::record();
  record.procedure.fit = control::FitMethod::fixed_exponent;

  const std::string text = result_table(result_json({"run-x", "0.1.0", control::RunState::done, 0}, record,
                                                    example::result(), example::engine()));

  EXPECT_THAT(text, testing::Not(HasSubstr("\nr2 ")));
  EXPECT_THAT(text, HasSubstr("exponent: assumed, not measured"));
  EXPECT_THAT(text, HasSubstr("n 0.650 (assumed)"));
  EXPECT_THAT(result_table_example(), HasSubstr("\nr2     0.99950\n"));
}

TEST(ResultTable, NamesTheWeatherThatItTook) {
  EXPECT_THAT(result_table_example(),
              HasSubstr("indoors 20.0 C, outdoors 20.0 C, wind 3.0 m/s\n"
                        "not stated: humidity (50 % assumed), altitude and barometer (sea level assumed)\n"));
}

TEST(ConditionsText, TellsStatedFromAssumed) {
  const nlohmann::json stated = {{"indoor_c", 20}, {"altitude_m", 100}, {"wind_m_s", nullptr}};
  nlohmann::json table = stated;
  table["assumed"] = {{"outdoor_rh_frac", 0.5}};

  EXPECT_EQ(conditions_text(stated, Units::metric), "indoors 20.0 C, altitude 100 m");
  EXPECT_EQ(conditions_text(stated, Units::ip), "indoors 68.0 F, altitude 328 ft");  // computed here
  EXPECT_EQ(not_stated_text(table), "not stated: outdoor humidity (50 % assumed), wind");
  EXPECT_EQ(not_stated_text({{"wind_m_s", 0}}), "");
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
