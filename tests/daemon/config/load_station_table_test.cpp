#include "daemon/config/load_station_table.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::with;
using control::Direction;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const std::string kTableText =
    "# a comment\n"
    "kind,pressure_pa,flow_m3_h\n"
    "baseline_before,-2,\n"
    "station,-52,1000\n"
    "station,-42,900\n"
    "station,-32,750\n"
    "baseline_after,-2,\n";

control::ProcedureSpec table_procedure(control::FitMethod fit = control::FitMethod::ols_loglog) {
  control::ProcedureSpec p;
  p.id = "mine";
  p.fit = fit;
  for (const double pa : {50.0, 40.0, 30.0}) p.stations_pa.push_back(pa);
  return p;
}

Loaded<StationTable> load_table(const std::string& text, std::optional<Direction> direction = std::nullopt,
                                const control::ProcedureSpec& procedure = table_procedure()) {
  const config_test::TempFolder folder;
  return load_station_table(folder.write("t.csv", text), procedure, direction);
}

std::vector<std::string> table_errors(const std::string& from, const std::string& to) {
  return brief(load_table(with(kTableText, from, to)).errors);
}

TEST(LoadStationTable, GivesRecords) {
  const auto table = load_table(kTableText);

  ASSERT_TRUE(table) << to_text(table.errors);
  ASSERT_EQ(table.value->directions.size(), 1U);
  const control::DirectionRecord& d = table.value->directions[0];
  EXPECT_EQ(d.direction, Direction::depressurize);
  EXPECT_TRUE(d.before.taken && d.after.taken);
  EXPECT_EQ(d.before.mean_pa, -2);
  EXPECT_EQ(d.before.negative_mean_pa, -2);
  ASSERT_EQ(d.stations.size(), 3U);
  EXPECT_EQ(d.stations[0].pressure_mean_pa, -52);
  EXPECT_EQ(d.stations[0].target_pa, 50);
  EXPECT_DOUBLE_EQ(d.stations[0].flow_mean_m3_s, 1000 / 3600.0);
  EXPECT_TRUE(table.value->has_baseline);
  EXPECT_FALSE(table.value->has_seconds);
}

TEST(LoadStationTable, ReadsQuotesReturnsMarksAndBlanks) {
  std::string text = "\xEF\xBB\xBF" + with(kTableText, "station,-52,1000", " \"station\" , \"-52\" ,1000 ");
  for (std::size_t at = 0; (at = text.find('\n', at)) != std::string::npos; at += 2)
    text.replace(at, 1, "\r\n");

  const auto table = load_table(text);

  ASSERT_TRUE(table) << to_text(table.errors);
  EXPECT_EQ(table.value->directions[0], load_table(kTableText).value->directions[0]);
}

TEST(LoadStationTable, TakesTheMeanOfSeveralZeroFlowReadings) {
  const auto table =
      load_table(with(kTableText, "baseline_before,-2,\n", "baseline_before,-3,\nbaseline_before,1,\n"));

  ASSERT_TRUE(table);
  const control::BaselineRecord& before = table.value->directions[0].before;
  EXPECT_EQ(before.mean_pa, -1);
  EXPECT_EQ(before.positive_mean_pa, 1);
  EXPECT_EQ(before.negative_mean_pa, -3);
  EXPECT_EQ(before.samples, 2);
  EXPECT_NEAR(before.mean_se_pa, 2, 1e-12);  // sd 2.83 of two values
}

TEST(LoadStationTable, ParsesBothDirectionsByTheirColumn) {
  const auto table = load_table(
      "kind,direction,pressure_pa,flow_m3_h\n"
      "station,depressurize,-50,1000\nstation,depressurize,-40,900\nstation,depressurize,-30,700\n"
      "station,pressurize,50,1000\nstation,pressurize,40,900\nstation,pressurize,30,700\n");

  ASSERT_TRUE(table) << to_text(table.errors);
  ASSERT_EQ(table.value->directions.size(), 2U);
  EXPECT_EQ(table.value->directions[1].direction, Direction::pressurize);
  EXPECT_FALSE(table.value->has_baseline);
  EXPECT_TRUE(table.value->directions[0].before.taken);
}

TEST(LoadStationTable, GivesSizesTheirSideWhereNothingElseHangsOnIt) {
  const std::string sizes = "kind,pressure_pa,flow_m3_h\nstation,50,1000\nstation,40,900\nstation,30,700\n";

  EXPECT_EQ(load_table(sizes).value->directions[0].direction, Direction::pressurize);
  const auto turned = load_table(sizes, Direction::depressurize);
  ASSERT_TRUE(turned);
  EXPECT_EQ(turned.value->directions[0].stations[0].pressure_mean_pa, -50);
  EXPECT_THAT(to_text(load_table(kTableText, Direction::pressurize).errors),
              HasSubstr("is on the other side"));
}

TEST(LoadStationTable, NamesRowColumnAndFix) {
  EXPECT_THAT(table_errors("-52,1000", "-52,0"),
              ElementsAre("4:flow_m3_h: must be above 0; take the row out where no flow could be read"));
  EXPECT_THAT(table_errors("-52,1000", "-52,-1"),
              ElementsAre("4:flow_m3_h: must be 0 to 2000000 m3/h, is -1"));
  EXPECT_THAT(table_errors("-52,1000", "-52,"),
              ElementsAre("4:flow_m3_h: is empty; a station needs its flow, in m3/h"));
  EXPECT_THAT(table_errors("-52,1000", "-52,nan"), ElementsAre(HasSubstr("4:flow_m3_h: must be 0 to")));
  EXPECT_THAT(table_errors("-52,1000", "-52,1e999"), ElementsAre(HasSubstr("4:flow_m3_h: must be")));
  EXPECT_THAT(table_errors("-52,1000", "-52,12x"),
              ElementsAre("4:flow_m3_h: must be a number, is 12x; digits and a point alone"));
  EXPECT_THAT(
      table_errors("-52,1000", "\"-52,5\",1000"),
      ElementsAre("4:pressure_pa: must be a number, is -52,5; write decimals with a point: 1.5, not 1,5"));
  EXPECT_THAT(table_errors("-52,1000", "-52,5,1000"),
              ElementsAre(HasSubstr("4:: the row has 4 values and the "
                                    "heading has 3; a decimal comma")));
  EXPECT_THAT(
      table_errors("station,-52", "statoin,-52"),
      ElementsAre(HasSubstr("4:kind: must be baseline_before, baseline_after or station, is statoin")));
  EXPECT_THAT(table_errors("-52,1000", "\"-52,1000"), ElementsAre(HasSubstr("4:: a quotation mark opens")));
  EXPECT_THAT(table_errors("before,-2,", "before,-2,3"),
              ElementsAre("3:flow_m3_h: must be empty or 0 where the fan is covered"));
  EXPECT_THAT(table_errors("-52,1000", "0,1000"), ElementsAre(HasSubstr("4:pressure_pa: must not be 0")));
}

TEST(LoadStationTable, NamesWhatIsWrongWithTheHeading) {
  EXPECT_THAT(table_errors("flow_m3_h", "flow_cfm"),
              ElementsAre(HasSubstr("2:flow_cfm: is no column of ours; did you mean flow_m3_h: convert")));
  EXPECT_THAT(table_errors("kind,pressure_pa,flow_m3_h", "kind;pressure_pa;flow_m3_h"),
              ElementsAre(HasSubstr("2:: the columns are not separated by commas")));
  EXPECT_THAT(brief(load_table("").errors), ElementsAre(HasSubstr("there is no heading")));
  EXPECT_THAT(brief(load_table("kind,pressure_pa,flow_m3_h\n").errors), ElementsAre(HasSubstr("no rows")));
  EXPECT_THAT(brief(load_table("kind,pressure_pa\nstation,5\n").errors),
              ElementsAre(HasSubstr("1:flow_m3_h: this column is missing")));
  EXPECT_THAT(brief(load_table("\xFF\xFEk").errors), ElementsAre(HasSubstr("save the file as UTF-8")));
}

TEST(LoadStationTable, RefusesWhatGivesNoCurve) {
  const std::string head = "kind,pressure_pa,flow_m3_h\n";
  const std::string two = head + "station,50,1000\nstation,40,900\n";
  const std::string equal = head + "station,50,1000\nstation,50,900\nstation,50,950\n";

  EXPECT_THAT(brief(load_table(two).errors),
              ElementsAre(HasSubstr("there are stations at 2 different pressures; the fit of mine needs 3")));
  EXPECT_THAT(brief(load_table(equal).errors),
              ElementsAre(HasSubstr("all stations have the same pressure; the fit of mine needs 3")));
  EXPECT_THAT(load_table(equal, std::nullopt, table_procedure(control::FitMethod::fixed_exponent)).errors,
              IsEmpty());
  EXPECT_THAT(table_errors("baseline_before,-2", "baseline_before,-90"),
              testing::Contains(HasSubstr("pressure_pa: leaves no induced pressure")));
  EXPECT_THAT(brief(load_table(head + "baseline_before,1,\n").errors), testing::SizeIs(1));
}

TEST(LoadStationTable, TemplateIsATable) {
  const auto table = load_table(station_table_template());

  ASSERT_TRUE(table) << to_text(table.errors);
  EXPECT_EQ(table.value->directions[0].stations.size(), 5U);
  EXPECT_THAT(table.value->restrictions, ElementsAre("bore-290"));
  EXPECT_TRUE(table.value->has_seconds);
}

TEST(LoadStationTable, SurvivesDamage) {
  const config_test::TempFolder folder;
  std::mt19937 rng(20240502);
  const std::string bytes = ",;\"'#\n\r\t -.0e9xn\xC3\x01\x7F";
  for (int i = 0; i < 3000; ++i) {
    std::string text = station_table_template();
    for (std::size_t k = 0; k <= rng() % 4; ++k) text[rng() % text.size()] = bytes[rng() % bytes.size()];
    const auto table = load_station_table(folder.write("t.csv", text), table_procedure(), std::nullopt);
    EXPECT_EQ(table.value.has_value(), table.errors.empty());
    if (!table.value) continue;
    for (const control::StationRecord& s : table.value->directions[0].stations)
      EXPECT_GT(s.flow_mean_m3_s, 0) << text;
  }
}

}  // namespace
}  // namespace leeward::daemon
