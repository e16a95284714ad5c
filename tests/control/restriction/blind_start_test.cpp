#include "control/restriction/blind_start.hpp"

#include <gtest/gtest.h>

#include "control/physics/flow_element.hpp"
#include "control/restriction/weak_look.hpp"
#include "tests/control/restriction/invented_fan.hpp"

namespace leeward::control {
namespace {

BlindStart start_for(double volume_m3, int fitted) {
  static const FanSpec fan = invented_fan();
  static const FanCurve curve = *curve_or_guess(fan);
  return blind_start({house_prior(volume_m3), fan_map_prior(true), curve, fan, 1, 1.0, fitted, false},
                     stations_down(), 10);
}

TEST(BlindStart, IsTheSmallerTheSmallerTheBuilding) {
  int last = 3;
  for (const double volume : {50.0, 150.0, 400.0, 1000.0, 4000.0}) {
    const int now = start_for(volume, 0).restriction;
    EXPECT_LE(now, last) << volume;
    last = now;
  }
  EXPECT_GT(start_for(50, 0).restriction, start_for(4000, 0).restriction);
}

TEST(BlindStart, IsAMiddleOneWhereNothingIsKnown) {
  const int start = start_for(0, 0).restriction;
  EXPECT_TRUE(start == 1 || start == 2) << start;
}

TEST(BlindStart, PromisesFewerChangesThanTheEndsOfTheScale) {
  const BlindStart from_largest = start_for(300, 0);
  const BlindStart from_best = start_for(300, from_largest.restriction);

  EXPECT_GT(from_largest.fitted_changes, from_largest.changes + 0.4);
  EXPECT_DOUBLE_EQ(from_best.fitted_changes, from_best.changes);
}

TEST(WeakLook, SaysTheFlowWhereTheSignalIsSeen) {
  const FanSpec fan = invented_fan();
  const HouseCurve before = house_prior(400);
  const double signal = 0.6;
  const double flow = flow_m3_s(fan.restrictions[0], signal);

  const HouseCurve after = after_weak_look(before, fan.restrictions[0], {10, signal, 1});

  EXPECT_NEAR(flow_at(after, 10) / flow, 1, 0.02);
  // Half of the signal's relative error, which is 0.08 of 0.6 Pa.
  EXPECT_NEAR(flow_relative_u_at(after, 20), 0.067, 0.01);
}

TEST(WeakLook, LeavesOpenHowLittleFlowMakesNoSignal) {
  const FanSpec fan = invented_fan();
  const HouseCurve before = house_prior(1000);

  const HouseCurve after = after_weak_look(before, fan.restrictions[0], {10, 0.0, 1});

  EXPECT_LT(flow_at(after, 10), flow_m3_s(fan.restrictions[0], kLookSignalU));
  EXPECT_GT(flow_relative_u_at(after, 10), 0.4);
  EXPECT_TRUE(is_weak(0.5));
  EXPECT_FALSE(is_weak(2.0));
}

}  // namespace
}  // namespace leeward::control
