// How long and how a station is averaged, through the whole engine.
#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "control/procedure/sequencer.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

control::Request adaptive_run() {
  control::Request run = start(ten_stations(), 400);
  run.run.procedure.baseline_s = 30;
  run.run.procedure.baseline_most_s = 90;
  run.run.procedure.baseline_se_pa = 0.1;
  run.run.procedure.station_average_s = 8;
  run.run.procedure.station_most_s = 30;
  run.run.procedure.station_se_frac = 0.003;
  return run;
}

ClosedLoop run_in_wind(double wind_m_s, const control::Request& run) {
  sim::HouseSpec house = calm_house(4, 400, 0.65);
  house.wind.mean_m_s = wind_m_s;
  ClosedLoop loop(house, 5);
  loop.request(run);
  (void)loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 3000);
  return loop;
}

double seconds(std::int64_t begin_ns, std::int64_t end_ns) {
  return static_cast<double>(end_ns - begin_ns) * 1e-9;
}

TEST(Averaging, TakesNoLongerThanItMustInCalmAir) {
  const ClosedLoop loop = run_in_wind(0, adaptive_run());
  const control::DirectionRecord& d = loop.state().record.directions[0];

  ASSERT_EQ(loop.state().phase, control::Phase::result);
  EXPECT_NEAR(seconds(d.before.begin_ns, d.before.end_ns), 30, 0.05);
  ASSERT_EQ(d.stations.size(), 11U);
  for (const control::StationRecord& s : d.stations) EXPECT_NEAR(seconds(s.begin_ns, s.end_ns), 8, 0.05);
}

TEST(Averaging, TakesLongerInWindAndNeverBeyondTheMost) {
  const ClosedLoop loop = run_in_wind(6, adaptive_run());
  const control::DirectionRecord& d = loop.state().record.directions[0];

  ASSERT_EQ(loop.state().phase, control::Phase::result);
  EXPECT_GT(seconds(d.before.begin_ns, d.before.end_ns), 60);
  EXPECT_LE(seconds(d.before.begin_ns, d.before.end_ns), 90.05);
  double longest = 0;
  for (const control::StationRecord& s : d.stations)
    longest = std::max(longest, seconds(s.begin_ns, s.end_ns));
  EXPECT_GT(longest, 20);
  EXPECT_LE(longest, 30.05);
}

TEST(Averaging, KeepsTheSpeedOfTheFanWhileAStationIsAveraged) {
  sim::HouseSpec house = calm_house(4, 400, 0.65);
  house.wind.mean_m_s = 6;
  ClosedLoop loop(house, 5);
  loop.request(adaptive_run());
  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::stations; }, 600));
  int averaged = 0;
  double before = -1;
  for (int k = 0; k < 2000 && loop.state().phase == control::Phase::stations; ++k) {
    const double demand = loop.tick().trace.demand_frac;
    const bool averaging = loop.state().sequencer.averages.elapsed_s > 0.15;
    if (averaging && before >= 0) {
      EXPECT_EQ(demand, before);
      ++averaged;
    }
    before = averaging ? demand : -1;
  }
  EXPECT_GT(averaged, 300);
}

TEST(Averaging, ThePlainLawRegulatesOnWithoutAJumpAfterAStation) {
  sim::HouseSpec house = calm_house(4, 400, 0.65);
  house.wind.mean_m_s = 6;
  control::EngineConfig rig = rig_for(house);
  rig.regulator.law = control::RegulatorLaw::plain;
  ClosedLoop loop(house, 5, rig);
  loop.request(adaptive_run());
  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::stations; }, 600));
  bool kept = false;
  double before = 0;
  int seen = 0;
  for (int k = 0; k < 3000 && loop.state().phase == control::Phase::stations; ++k) {
    const double demand = loop.tick().trace.demand_frac;
    const bool keeping = loop.state().regulator.plain.keeping;
    if (kept && !keeping && demand > 0) {
      EXPECT_LT(std::abs(demand - before), 0.02);
      ++seen;
    }
    kept = keeping;
    before = demand;
  }
  EXPECT_GE(seen, 5);
}

TEST(Averaging, SaysHowLongItStillTakes) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.request(adaptive_run());
  ASSERT_TRUE(loop.run_until([&] { return loop.state().sequencer.averages.elapsed_s > 10; }, 100));
  const double left = control::time_left_s(loop.state());
  EXPECT_GT(left, 15);
  EXPECT_LT(left, 20);
}

TEST(Averaging, LetsATightHouseFallSilentBeforeTheClosingBaseline) {
  ClosedLoop loop(calm_house(0.6, 1500, 0.65), 3);
  loop.request(start(ten_stations(), 1500));
  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 3000));
  const control::DirectionRecord& d = loop.state().record.directions[0];

  ASSERT_FALSE(d.after.blocks.means.empty());
  EXPECT_NEAR(d.after.blocks.means[0].pressure_pa, d.after.blocks.means.back().pressure_pa, 0.15);
}

}  // namespace
}  // namespace leeward::bench
