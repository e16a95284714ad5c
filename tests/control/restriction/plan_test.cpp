#include "control/restriction/plan.hpp"

#include <gtest/gtest.h>

#include <functional>
#include <random>

#include "tests/control/restriction/invented_fan.hpp"

namespace leeward::control {
namespace {

/// Houses without rhyme or reason: sets of restrictions at random.
ServedTable random_table(std::mt19937_64& rng) {
  ServedTable t;
  t.stations = 1 + rng() % 5;
  t.restrictions = 1 + rng() % 4;
  t.possibilities = 1 + rng() % 12;
  const std::uint64_t kinds = 1ULL << t.restrictions;
  for (std::size_t i = 0; i < t.possibilities; ++i)
    for (std::size_t s = 0; s < t.stations; ++s) {
      t.rows[i].served[s] = static_cast<RestrictionSet>(rng() % kinds);
      const auto any = static_cast<RestrictionSet>(1U << rng() % t.restrictions);
      t.rows[i].suited[s] = t.rows[i].served[s] != 0 ? t.rows[i].served[s] : any;
    }
  return t;
}

struct Walked {
  double changes = 0;  ///< expected
  double shortfalls = 0;
};

/// A crew follows a sequence in every house, station by station.
Walked walk(const ServedTable& t, const std::vector<int>& sequence, int fitted, double first_change) {
  Walked w;
  const double share = 1.0 / static_cast<double>(t.possibilities);
  for (std::size_t i = 0; i < t.possibilities; ++i) {
    int now = fitted;
    for (std::size_t s = 0; s < t.stations; ++s) {
      const int next = instead_of(sequence[s], t.rows[i].suited[s]);
      if (next != now) w.changes += share * (s == 0 ? first_change : 1);
      if ((t.rows[i].suited[s] >> sequence[s] & 1U) == 0) w.shortfalls += share;
      now = next;
    }
  }
  return w;
}

void for_each_sequence(const ServedTable& t, const std::function<void(const std::vector<int>&)>& see) {
  std::vector<int> sequence(t.stations, 0);
  for (;;) {
    see(sequence);
    std::size_t s = 0;
    while (s < t.stations && ++sequence[s] == static_cast<int>(t.restrictions)) sequence[s++] = 0;
    if (s == t.stations) return;
  }
}

TEST(RestrictionPlan, NeedsAsFewExpectedChangesAsTheBestOfAllSequences) {
  std::mt19937_64 rng(20);
  for (int round = 0; round < 2000; ++round) {
    const ServedTable t = random_table(rng);
    const int fitted = static_cast<int>(rng() % t.restrictions);
    const double first_change = round % 2 == 0 ? 1.0 : 0.6;
    Walked best{1e9, 1e9};
    double best_stay = 1e9;
    for_each_sequence(t, [&](const std::vector<int>& sequence) {
      const Walked w = walk(t, sequence, fitted, first_change);
      // Shortfalls decide between equals alone: 1e-9 is far below the weight of one house.
      if (w.changes < best.changes - 1e-9 ||
          (w.changes < best.changes + 1e-9 && w.shortfalls < best.shortfalls))
        best = w;
      if (sequence[0] == fitted) best_stay = std::min(best_stay, w.changes);
    });

    const RestrictionPlan plan = plan_restrictions(t, fitted, first_change);

    const Walked planned = walk(t, {plan.fitted.begin(), plan.fitted.end()}, fitted, first_change);
    ASSERT_NEAR(planned.changes, best.changes, 1e-9) << "round " << round;
    ASSERT_NEAR(planned.shortfalls, best.shortfalls, 1e-9) << "round " << round;
    // The costs told carry what decides between equals, less than 1/128 over all stations.
    ASSERT_NEAR(plan.expected_changes, best.changes, 0.5 / kPossibilities) << "round " << round;
    ASSERT_NEAR(plan.stay_changes, best_stay, 0.5 / kPossibilities) << "round " << round;
  }
}

TEST(FewestChanges, AreThoseOfTheBestSequenceInAHouseThatIsKnown) {
  std::mt19937_64 rng(21);
  for (int round = 0; round < 2000; ++round) {
    ServedTable t = random_table(rng);
    t.possibilities = 1;
    const int fitted = static_cast<int>(rng() % t.restrictions);
    double best = 1e9;
    for_each_sequence(t, [&](const std::vector<int>& sequence) {
      best = std::min(best, walk(t, sequence, fitted, 1).changes);
    });

    EXPECT_EQ(fewest_changes(t.rows[0], t.stations, static_cast<RestrictionSet>(1U << fitted)), best);
  }
}

ServedTable table_of(const HouseCurve& house, const FanSpec& fan, int fitted = 0) {
  const FanCurve curve = *curve_or_guess(fan);
  return served_table({house, known_map(), curve, fan, 1, 1.0, fitted, false}, stations_down());
}

TEST(RestrictionPlan, FitsTheOneThatServesAllAtOnceAndSaysHowSurely) {
  const FanSpec fan = invented_fan();

  const RestrictionPlan plan = plan_restrictions(table_of(house_of(750, 0.65), fan), 0);

  for (const int k : plan.fitted) EXPECT_EQ(k, 2);
  EXPECT_EQ(plan.changes, 1);
  EXPECT_GT(plan.served_p, 0.99);
  EXPECT_LT(plan.regret_changes, 0.01);
}

TEST(RestrictionPlan, RegretsWhatACrewThatKnewTheHouseWouldNotDo) {
  const FanSpec fan = invented_fan();
  const HouseCurve sure = house_of(750, 0.65);
  const HouseCurve open = house_of(750, 0.65, 0.5, 0.07);

  // A change at once is the cheaper one, where it is the right one.
  EXPECT_LT(plan_restrictions(table_of(sure, fan), 1, 0.6).regret_changes, 0.01);
  EXPECT_GT(plan_restrictions(table_of(open, fan), 1, 0.6).regret_changes, 0.05);
}

TEST(RestrictionPlan, StaysAtTheEndOfTheScaleWhereNoneServes) {
  const FanSpec fan = invented_fan();

  for (const auto& [q50, end] : {std::pair{30000.0, 0}, std::pair{20.0, 3}}) {
    const ServedTable table = table_of(house_of(q50, 0.65), fan);
    const RestrictionPlan plan = plan_restrictions(table, 1);
    for (const int k : plan.fitted) EXPECT_EQ(k, end) << q50;
    EXPECT_EQ(unserved_stations(table), 0xFFU) << q50;
    EXPECT_EQ(plan.served_p, 0) << q50;
  }
}

TEST(RestrictionPlan, MakesNoChangeWithoutNeed) {
  const FanSpec fan = invented_fan();
  // At 60 Pa bore-290 and bore-165 both serve.
  const std::vector<double> one{60};
  const FanCurve curve = *curve_or_guess(fan);
  for (const int fitted : {1, 2}) {
    const ServedTable table =
        served_table({house_of(800, 0.65), known_map(), curve, fan, 1, 1.0, fitted, false}, one);
    EXPECT_EQ(plan_restrictions(table, fitted).fitted[0], fitted);
  }
}

TEST(InsteadOf, IsTheNearestThatSuitsAndOfTwoTheLarger) {
  EXPECT_EQ(instead_of(2, 0b0100), 2);
  EXPECT_EQ(instead_of(2, 0b1010), 1);
  EXPECT_EQ(instead_of(0, 0b1100), 2);
  EXPECT_EQ(instead_of(3, 0b0001), 0);
  EXPECT_EQ(instead_of(1, 0), 1);
}

}  // namespace
}  // namespace leeward::control
