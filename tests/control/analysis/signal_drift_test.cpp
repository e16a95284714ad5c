#include "control/analysis/signal_drift.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::control {
namespace {

constexpr std::int64_t kSecond = 1'000'000'000;

DirectionRecord drifting() {
  DirectionRecord record;
  record.before = {
      .taken = true, .begin_ns = 0, .end_ns = 60 * kSecond, .signal_known = true, .signal_pa = 0.1};
  record.after = {.taken = true,
                  .begin_ns = 600 * kSecond,
                  .end_ns = 660 * kSecond,
                  .signal_known = true,
                  .signal_pa = 0.5};
  StationRecord station;
  station.begin_ns = 320 * kSecond;
  station.end_ns = 340 * kSecond;  // in the middle
  station.signal_mean_pa = 10;
  station.flow_mean_m3_s = 0.5;
  station.blocks.means.push_back({-50, 0.5, 0});
  record.stations.push_back(station);
  return record;
}

TEST(WithoutSignalDrift, TakesHalfTheDriftOffInTheMiddle) {
  const DirectionRecord out = without_signal_drift(drifting());

  EXPECT_NEAR(out.stations[0].flow_mean_m3_s, 0.5 * std::sqrt(9.8 / 10), 1e-12);
  EXPECT_NEAR(out.stations[0].blocks.means[0].flow_m3_s, 0.5 * std::sqrt(9.8 / 10), 1e-12);
}

TEST(WithoutSignalDrift, LeavesARecordAloneThatDoesNotShowIt) {
  DirectionRecord one = drifting();
  one.after.taken = false;
  EXPECT_EQ(without_signal_drift(one), one);
  DirectionRecord broken = drifting();
  broken.after.signal_pa = 8;
  EXPECT_EQ(without_signal_drift(broken), broken);
  DirectionRecord none = drifting();
  none.stations[0].signal_mean_pa = 0;
  EXPECT_EQ(without_signal_drift(none), none);
}

TEST(SignalDrift, SaysHowFarAZeroMayHaveSunk) {
  DirectionRecord sunk = drifting();
  sunk.before.signal_sd_pa = 0.06;
  sunk.after.signal_known = false;

  // From 0.1 Pa down to at least -0.103 Pa in 11 min: normal drift of 0.132 Pa beyond 1.535 standard
  // deviations has the mean 1.968 and the standard deviation 0.383 of them (Mills ratio, by hand).
  EXPECT_NEAR(signal_drift(sunk).change_pa, -0.132 * 1.968, 1e-3);
  EXPECT_NEAR(signal_drift(sunk).u_pa, 0.132 * 0.383, 1e-3);
  DirectionRecord seen = drifting();  // by 0.4 Pa, told by means of 25 readings each
  seen.before.signal_sd_pa = seen.after.signal_sd_pa = 0.05;
  seen.before.samples = seen.after.samples = 25;
  EXPECT_NEAR(signal_drift(seen).u_pa, std::hypot(0.005, 0.01 * std::sqrt(0.5), 0.1 * 0.4), 1e-12);
  sunk.before.signal_known = false;
  EXPECT_EQ(without_signal_drift(sunk), sunk);
}

}  // namespace
}  // namespace leeward::control
