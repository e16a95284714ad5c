#include "daemon/campaign/summary.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "daemon/campaign/checksum.hpp"
#include "daemon/campaign/progress_line.hpp"
#include "daemon/campaign/row_line.hpp"
#include "daemon/campaign/summary_faces.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;
constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

Outline gust_outline(int runs) {
  Outline o;
  o.population = "it's.toml";
  o.against = "closed_loop_s=2";
  o.name = "made-up";
  o.seed = 100;
  o.runs = runs;
  o.tools = {"a", "b"};
  o.gust_target_pa = 50;
  o.gust_winds_m_s = {6};
  return o;
}

/// left_out, tripped, demand, rms, constant rms, ratio, indices
RunRow gust_row(std::size_t job, double left_out, double rms, double constant) {
  return {job, {left_out, 0, 0.5, rms, constant, rms / constant, 0.2, 0.5, 0.8}, {}};
}

/// Eight houses: with settings a the errors 1 to 8 Pa over a constant 4 Pa, with b half a pascal less but in
/// the last; the first house is left out.
Rows gust_rows() {
  Rows rows;
  for (std::size_t house = 0; house < 8; ++house) {
    const double left_out = house == 0 ? 1 : 0;
    const double rms = static_cast<double>(house) + 1;
    rows[2 * house] = gust_row(2 * house, left_out, rms, 4);
    rows[2 * house + 1] = gust_row(2 * house + 1, left_out, house == 7 ? rms + 1 : rms - 0.5, 4);
  }
  return rows;
}

const MeasureSummary& measure_named(const GroupSummary& group, const std::string& label) {
  for (const MeasureSummary& measure : group.measures)
    if (measure.label == label) return measure;
  ADD_FAILURE() << "no measure " << label;
  return group.measures.front();
}

TEST(Summary, StatesFiguresOfTheRunsThatCount) {
  const Summary summary = summarize(gust_outline(8), gust_rows());

  ASSERT_EQ(summary.groups.size(), 2U);
  const MeasureSummary& rms = measure_named(summary.groups[0], "rms error");
  EXPECT_EQ(rms.runs, 7U);
  EXPECT_DOUBLE_EQ(rms.figures[0].value, 5);    // the median of 2 to 8
  EXPECT_DOUBLE_EQ(rms.figures[1].value, 7.4);  // 90 % of the way
  EXPECT_LT(rms.figures[0].low, 5);
  EXPECT_GT(rms.figures[0].high, 5);
  // 5, 6, 7 and 8 Pa are more than 1.02 times 4 Pa.
  EXPECT_DOUBLE_EQ(measure_named(summary.groups[0], "worse than constant command").figures[0].value,
                   400.0 / 7);
  EXPECT_DOUBLE_EQ(
      measure_named(summary.groups[0], "left out: not reached, tripped or above 97 %").figures[0].value,
      12.5);
}

TEST(Summary, ComparesHouseByHouse) {
  const Summary summary = summarize(gust_outline(8), gust_rows());

  ASSERT_FALSE(summary.comparisons.empty());
  const Comparison& rms = summary.comparisons[0];
  EXPECT_EQ(rms.label, "rms error");
  EXPECT_DOUBLE_EQ(rms.median_difference, -0.5);
  EXPECT_EQ(rms.lower, 6);
  EXPECT_EQ(rms.higher, 1);
  EXPECT_NEAR(rms.p_value, 2 * (1 + 7) / 128.0, 1e-12);
}

TEST(Summary, NamesTheWorstRunsWithTheCommandThatRunsEachAlone) {
  const Summary summary = summarize(gust_outline(8), gust_rows());

  ASSERT_GE(summary.worst.size(), 2U);
  EXPECT_EQ(summary.worst[0].job.seed, 107U);
  EXPECT_EQ(summary.worst[0].job.tool, 1U);
  EXPECT_EQ(summary.worst[1].job.seed, 106U) << "a house is named once";
  EXPECT_EQ(summary.worst.size(), 7U) << "the run that does not count is not among them";
  EXPECT_EQ(summary.worst[0].command,
            "leeward campaign 'it'\\''s.toml' --only 107 --against closed_loop_s=2");
}

TEST(Summary, TellsUnitsAndIntervalsInText) {
  const std::string text = summary_text(summarize(gust_outline(8), gust_rows()));

  EXPECT_THAT(text, HasSubstr("gusts at 50.0 Pa, 6 m/s, settings a, 8 runs"));
  EXPECT_THAT(text, HasSubstr("p50 5.00 Pa ["));
  EXPECT_THAT(text, HasSubstr("lower in 6, higher in 1, equal in 0 houses, p 0.1250"));
}

TEST(Summary, HasNullWhereThereIsNoInterval) {
  Outline o = gust_outline(1);
  o.gust_winds_m_s.clear();
  o.tools = {"a"};
  o.step_targets_pa = {10};
  Rows rows;
  rows[0] = {0, {0, 4.5, 0.3, 1, kMissing, kMissing}, {0, 10}};

  const nlohmann::json json = summary_json(summarize(o, rows));

  const nlohmann::json& overshoot = json["groups"][0]["measures"][1];
  EXPECT_EQ(overshoot["measure"], "overshoot 0 to 10 Pa");
  EXPECT_EQ(overshoot["figures"]["max"]["value"], 0.3);
  EXPECT_TRUE(overshoot["figures"]["max"]["low"].is_null());
  EXPECT_EQ(json["groups"][0]["measures"].size(), 4U) << "without a floor nothing is stated of it";
}

TEST(RunsCsv, HoldsOneLineARunAndNothingWhereThereIsNoFigure) {
  Outline o = gust_outline(1);
  o.step_targets_pa = {10};
  o.tools = {"a,b"};
  Rows rows;
  rows[0] = {0, {0, 4.5, 0.3, 1, kMissing, kMissing}, {}};
  rows[1] = gust_row(1, 0, 2, 4);

  EXPECT_EQ(
      runs_csv(o, rows),
      "scenario,wind_m_s,settings,seed,tripped,step_1_settling_s,step_1_overshoot_pa,step_1_settled,"
      "step_1_floor_s,step_1_ratio,drive_found,drive_learnt_s,drive_highest_pa,drive_slew_error,"
      "drive_lag_error,drive_sensor_lag_error,drive_signal_lag_error,drive_dead_band_error_frac,left_out,"
      "mean_demand_frac,rms_pa,constant_rms_pa,ratio,index_half_s,index_1_s,index_2_s\n"
      "steps,0,\"a,b\",100,0,4.5,0.3,1,,,,,,,,,,,,,,,,,,\n"
      "gusts,6,\"a,b\",100,0,,,,,,,,,,,,,,0,0.5,2,4,0.5,0.2,0.5,0.8\n");
}

TEST(Checksum, GivesThePublishedValues) {
  // FNV-1a 64, test vectors of its authors, from memory
  EXPECT_EQ(hex_text(checksum("")), "cbf29ce484222325");
  EXPECT_EQ(hex_text(checksum("a")), "af63dc4c8601ec8c");
  EXPECT_EQ(hex_text(checksum("foobar")), "85944171f73967e8");
}

TEST(RowLine, KeepsEveryBit) {
  const RunRow row{7, {0.1, 1e-300, -0.0, kMissing, 1.0 / 3}, {12.5, kMissing}};
  const std::string line = sealed_line(row_text(row));

  const auto text = opened_line(std::string_view(line).substr(0, line.size() - 1));
  ASSERT_TRUE(text);
  const auto back = row_from_text(*text);

  ASSERT_TRUE(back);
  EXPECT_EQ(back->job, 7U);
  ASSERT_EQ(back->figures.size(), 5U);
  EXPECT_EQ(back->figures[0], 0.1);
  EXPECT_EQ(back->figures[1], 1e-300);
  EXPECT_TRUE(std::signbit(back->figures[2]));
  EXPECT_TRUE(std::isnan(back->figures[3]));
  EXPECT_EQ(back->figures[4], 1.0 / 3);
  EXPECT_EQ(back->response[0], 12.5);
}

TEST(RowLine, IsRefusedWhenTornOrChangedAnywhere) {
  std::string line = sealed_line(row_text({3, {1, 2}, {}}));
  line.pop_back();

  for (std::size_t size = 0; size < line.size(); ++size)
    EXPECT_FALSE(opened_line(std::string_view(line).substr(0, size))) << size;
  for (std::size_t i = 0; i < line.size(); ++i) {
    std::string changed = line;
    changed[i] ^= 1;
    EXPECT_FALSE(opened_line(changed)) << i;
  }
  EXPECT_FALSE(row_from_text("[1,2]"));
  EXPECT_FALSE(row_from_text("[1,[\"x\"],[]]"));
}

TEST(Outline, NumbersItsRunsByScenarioWindHouseAndSettings) {
  Outline o = gust_outline(2);
  o.gust_winds_m_s = {3, 6};

  const std::vector<Job> jobs = jobs_of(o);

  ASSERT_EQ(jobs.size(), 8U);
  EXPECT_EQ(jobs[1].tool, 1U);
  EXPECT_EQ(jobs[1].seed, 100U);
  EXPECT_EQ(jobs[2].seed, 101U);
  EXPECT_EQ(jobs[4].wind_m_s, 6);
}

TEST(Outline, ComesBackFromJson) {
  const auto back = outline_from_json(outline_json(gust_outline(3)));

  ASSERT_TRUE(back);
  EXPECT_EQ(*back, gust_outline(3));
  EXPECT_FALSE(outline_from_json({{"seed", "x"}}));
}

TEST(ProgressLine, TellsHowFarHowFastAndHowLongStill) {
  EXPECT_EQ(progress_line(60, 50, 200, 4), "[######--------------] 60 of 200 runs, 12.5 runs/s, 12 s left");
  EXPECT_EQ(progress_line(0, 0, 200, 0), "[--------------------] 0 of 200 runs");
  EXPECT_EQ(progress_line(200, 10, 200, 4), "[####################] 200 of 200 runs, 2.5 runs/s");
  EXPECT_THAT(progress_line(10, 10, 100000, 10), HasSubstr("1.0 runs/s, 28 h left"));
}

}  // namespace
}  // namespace leeward::daemon
