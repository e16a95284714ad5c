#include "control/restriction/served_table.hpp"

#include <gtest/gtest.h>

#include "control/physics/flow_element.hpp"
#include "control/restriction/plan.hpp"
#include "control/restriction/reach.hpp"
#include "tests/control/restriction/invented_fan.hpp"

namespace leeward::control {
namespace {

double share_below(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

TEST(PossibleHouse, SpreadsAsWidelyAsTheUncertaintySays) {
  HouseCurve house = house_of(1000, 0.65, 0.2, 0.04);
  house.pair.cov_ab = 0.5 * 0.2 * 0.04;
  double a = 0, b = 0, aa = 0, ab = 0, bb = 0;
  for (std::size_t i = 0; i < kPossibilities; ++i) {
    const HouseCurve one = possible_house(house, i);
    const double da = one.pair.a - house.pair.a;
    const double db = one.pair.b - house.pair.b;
    a += da / kPossibilities;
    b += db / kPossibilities;
    aa += da * da / kPossibilities;
    ab += da * db / kPossibilities;
    bb += db * db / kPossibilities;
  }

  // Of 128 points: a tenth of a standard uncertainty, a fifth of a variance.
  EXPECT_NEAR(a, 0, 0.02);
  EXPECT_NEAR(b, 0, 0.004);
  EXPECT_NEAR(aa, 0.04, 0.008);
  EXPECT_NEAR(bb, 0.0016, 0.00032);
  EXPECT_NEAR(ab, 0.004, 0.0016);
}

TEST(ServedTable, HoldsARestrictionAsOftenAsItsSignalIsLikelyToBeInsideTheRange) {
  const FanSpec fan = invented_fan();
  const FanCurve curve = *curve_or_guess(fan);
  const double u = 0.1;
  // The flow at 10 Pa lies off by so many standard uncertainties from the least that bore-165 can read.
  for (const double off : {-1.5, -0.5, 0.0, 1.0}) {
    const double q10 = least_flow_m3_s(fan.restrictions[2]) * std::exp(off * u);
    const HouseCurve house = house_of(3600 * q10 * std::pow(5.0, 0.65), 0.65, u);
    const std::vector<double> ten{10};
    const ServedTable table = served_table({house, known_map(), curve, fan, 1, 1.0, 0, false}, ten);
    EXPECT_NEAR(serves_p(table, 2, 1U), share_below(off), 0.05) << off;
  }
}

TEST(ServedTable, LeavesOutTheFittedOneThatHasFailed) {
  const FanSpec fan = invented_fan();
  const FanCurve curve = *curve_or_guess(fan);
  const HouseCurve house = house_of(800, 0.65);
  const std::vector<double> stations{60, 52.9};

  const ServedTable before = served_table({house, known_map(), curve, fan, 1, 1.0, 2, false}, stations);
  const ServedTable after = served_table({house, known_map(), curve, fan, 1, 1.0, 2, true}, stations);

  EXPECT_EQ(before.rows[0].served[0], 0b0110);
  EXPECT_EQ(after.rows[0].served[0], 0b0010);
  EXPECT_EQ(after.rows[0].suited[0], 0b0010);
  EXPECT_EQ(after.rows[0].served[1], 0b0110);
}

TEST(MostFlow, IsWhereTheFanHasJustThePressureLeft) {
  const FanSpec fan = invented_fan();
  const FanCurve curve = *curve_or_guess(fan);
  for (const RestrictionSpec& r : fan.restrictions)
    for (const double speed : {0.5, 0.8, 1.0}) {
      const double flow = most_flow_m3_s(r, curve, speed, 30);
      const double left = curve.rise_pa(speed, flow) - lost_pressure_pa(r, flow);
      const bool by_signal = std::abs(signal_pa(r, flow) - r.signal_max_pa) < 1e-6;
      EXPECT_TRUE(by_signal ? left >= 30 : std::abs(left - 30) < 1e-3) << r.name.view() << " " << speed;
    }
  EXPECT_EQ(most_flow_m3_s(fan.restrictions[0], curve, 0.2, 60), 0);
}

TEST(TopSpeed, TakesTheCurveOfTheFanItselfAtItsWord) {
  const FanMap map = fan_map_prior(true);  // hardly known: a dead band of 3 +- 2 %, a scale of 0.97 +- 0.05

  EXPECT_NEAR(top_speed(map, true, 1.0).speed_frac, 1.0, 0.01);
  EXPECT_LT(top_speed(map, true, 1.0).u_frac, 0.031);
  EXPECT_GT(top_speed(fan_map_prior(false), false, 1.0).u_frac, 0.1);
}

}  // namespace
}  // namespace leeward::control
