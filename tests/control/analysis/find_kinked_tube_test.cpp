// A building pressure that lags behind the flow.
#include <gtest/gtest.h>

#include <algorithm>

#include "control/analysis/diagnosis.hpp"
#include "tests/control/analysis/staged_test.hpp"

namespace leeward::control {
namespace {

const Finding* kink_of(const Findings& findings) {
  const auto* it = std::find_if(findings.begin(), findings.end(),
                                [](const Finding& f) { return f.kind == FindingKind::tube_kinked; });
  return it == findings.end() ? nullptr : it;
}

TEST(FindKinkedTube, NamesTheStationOnTheWayToWhichItBegan) {
  staged::Play play;
  play.tube_lag_s = [](double target) { return target < 37 ? 15.0 : 0.5; };

  const Findings found = staged::Test(play).take(Direction::depressurize).findings();

  const Finding* kink = kink_of(found);
  ASSERT_NE(kink, nullptr);
  EXPECT_EQ(kink->station, 5);
  EXPECT_NEAR(kink->size, 15, 3);  // s
}

TEST(FindKinkedTube, NamesOneThatWasThereFromTheFirst) {
  staged::Play play;
  play.tube_lag_s = [](double) { return 12.0; };

  const Finding* kink = kink_of(staged::Test(play).take(Direction::pressurize).findings());

  EXPECT_NE(kink, nullptr);
}

TEST(FindKinkedTube, LeavesALagThatTheBuildingMayHave) {
  staged::Play play;
  play.tube_lag_s = [](double) { return 12.0; };
  staged::Test test(play);
  test.take(Direction::pressurize);
  test.record().building.volume_m3 = 20000;  // takes up 0.66 m3 a pascal where it gives way
  test.record().building.floor_area_m2 = 6000;
  test.record().building.envelope_area_m2 = 8000;

  EXPECT_EQ(kink_of(test.findings()), nullptr);
}

TEST(FindKinkedTube, LeavesAloneWhatHappenedDuringOneMove) {
  staged::Play play;
  play.tube_lag_s = [](double target) { return target == 30 ? 20.0 : 0.5; };

  EXPECT_EQ(kink_of(staged::Test(play).take(Direction::depressurize).findings()), nullptr);
}

}  // namespace
}  // namespace leeward::control
