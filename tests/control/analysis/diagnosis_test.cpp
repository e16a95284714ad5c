// Every kind of finding on a record that was made for it.

#include "control/analysis/diagnosis.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "tests/control/analysis/staged_test.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

using staged::Play;
using StagedTest = staged::Test;

constexpr double kAtStation35 = 30 + 5 * 30 + 18;  // s: in the middle of the sixth station

std::optional<Finding> only(const Findings& findings) {
  if (findings.size() != 1) return std::nullopt;
  return findings[0];
}

std::optional<Finding> of_kind(const Findings& findings, FindingKind kind) {
  const auto* it =
      std::find_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.kind == kind; });
  if (it == findings.end()) return std::nullopt;
  return *it;
}

Play with_opening(double share, double from_s, double to_s = 1e9) {
  Play play;
  play.flow = [=](double t, double p, double flow) {
    const bool open = t >= from_s && t < to_s;
    return flow + (open ? share * staged::kC * std::pow(33, staged::kN) * std::sqrt(p / 33) : 0);
  };
  return play;
}

TEST(Diagnosis, AccusesNobodyWhereNothingHappened) {
  for (const unsigned seed : {1U, 2U, 3U, 4U, 5U, 6U, 7U, 8U}) {
    StagedTest test(Play{}, seed);
    test.take(Direction::depressurize).take(Direction::pressurize);
    EXPECT_TRUE(test.findings().empty()) << seed;
  }
}

TEST(Diagnosis, FindsAnOpeningItsTimeAndItsSize) {
  const auto found =
      only(StagedTest(with_opening(0.12, kAtStation35)).take(Direction::depressurize).findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::opening);
  EXPECT_EQ(found->grade, FindingGrade::certain);
  EXPECT_EQ(found->direction, 0);
  EXPECT_EQ(found->station, 5);
  EXPECT_NEAR(static_cast<double>(found->from_ns) * 1e-9 - 1, kAtStation35, 3);  // s
  EXPECT_NEAR(found->size, 0.12, 0.015);                                         // absolute
  EXPECT_LT(found->size_u, 0.01);
  EXPECT_FALSE(found->passing);
}

TEST(Diagnosis, FindsAnOpeningThatIsShutAgain) {
  const auto found = only(StagedTest(with_opening(0.12, kAtStation35, kAtStation35 + 40))
                              .take(Direction::depressurize)
                              .findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::opening);
  EXPECT_TRUE(found->passing);
  EXPECT_NEAR(static_cast<double>(found->to_ns - found->from_ns) * 1e-9, 40, 12);  // s
}

TEST(Diagnosis, CallsASmallOpeningThatStaysASeal) {
  const auto found =
      only(StagedTest(with_opening(0.05, kAtStation35)).take(Direction::pressurize).findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::seal_off);
  EXPECT_NEAR(found->size, 0.05, 0.01);
}

TEST(Diagnosis, TellsAFanThatBlowsOutByItsSignInBothDirections) {
  // 5 % of the flow at 50 Pa, and the shift of the closing zero-flow pressure that goes with it
  const double amount = 0.05 * staged::kC * std::pow(50, staged::kN);
  const double shift = -50 * std::pow(0.05, 1 / staged::kN);
  for (const Direction direction : {Direction::depressurize, Direction::pressurize}) {
    Play play;
    play.flow = [&](double t, double, double flow) {
      return flow + (t >= kAtStation35 ? sign_of(direction) * amount : 0);
    };
    play.zero = [&](double t) { return t >= 365 ? shift : 0; };  // s: the closing reading

    const auto found = only(StagedTest(play).take(direction).findings());

    ASSERT_TRUE(found);
    EXPECT_EQ(found->kind, FindingKind::exhaust_fan);
    EXPECT_NEAR(found->size / amount, 1, 0.15);
  }
}

TEST(Diagnosis, FindsARestrictionThatIsNotTheNamedOne) {
  Play play;
  play.named = [](double target) { return target < 40 ? 1 : 0; };  // it was asked for, and not fitted

  const auto found = only(StagedTest(play).take(Direction::depressurize).findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::wrong_restriction);
  EXPECT_EQ(found->other, 0);
  EXPECT_EQ(found->station, 5);
  EXPECT_NEAR(found->size, 0.0686 / 0.0222, 0.15);
}

TEST(Diagnosis, FindsARestrictionThatChangedWithoutAName) {
  Play play;
  play.fitted = [](double target) { return target < 40 ? 1 : 0; };

  const auto found = only(StagedTest(play).take(Direction::depressurize).findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::wrong_restriction);
  EXPECT_EQ(found->other, 1);
}

TEST(Diagnosis, FindsADemandThatTheNamedRestrictionCantHaveAskedFor) {
  Play leaky;
  leaky.flow = [](double, double, double flow) { return 2 * flow; };
  StagedTest test(leaky);
  test.take(Direction::depressurize);
  for (StationRecord& s : test.record().directions[0].stations) {
    // As if the restriction with three times the bore were named: the curve asks for far more.
    s.flow_mean_m3_s *= 3;
    s.move.flow_by_change *= std::pow(3, 1 / 0.65);
    for (BlockMean& b : s.blocks.means) b.flow_m3_s *= 3;
  }
  test.record().fan.restrictions.push_back({"bore-500", 0.2058, 0.5, 5, 160, 0, 0});
  for (StationRecord& s : test.record().directions[0].stations) s.restriction = 2;

  const auto found = of_kind(test.findings(), FindingKind::wrong_restriction);

  ASSERT_TRUE(found);
  EXPECT_EQ(found->station, 0);
  EXPECT_EQ(found->other, 0);
}

TEST(Diagnosis, FindsADriftOfTheZeroFlowPressure) {
  Play play;
  play.zero = [](double t) { return 2.5 * std::clamp((t - 100) / 200, 0.0, 1.0); };

  const auto found = only(StagedTest(play).take(Direction::depressurize).findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::zero_flow_drift);
  EXPECT_NEAR(found->size, 2.5, 0.4);
}

TEST(Diagnosis, FindsWindThatTheBuildingDoesNotShare) {
  Play play;
  play.unrest_pa = 1;

  const auto found =
      of_kind(StagedTest(play).take(Direction::depressurize).findings(), FindingKind::unshared_wind);

  ASSERT_TRUE(found);
  EXPECT_GT(found->size, 0.3);
  EXPECT_LT(found->other, 0.5 * found->size);
}

TEST(Diagnosis, FindsExponentsThatShiftAgainstEachOther) {
  StagedTest test(Play{});
  Play bent;
  bent.flow = [](double, double p, double flow) { return flow * std::pow(p / 30, 0.1); };
  StagedTest other(bent, 2);
  test.take(Direction::depressurize);
  other.take(Direction::pressurize);
  test.record().directions.push_back(other.record().directions[0]);

  const auto found = only(test.findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::exponent_shift);
  EXPECT_NEAR(found->size, -0.1, 0.02);
}

TEST(Diagnosis, FindsSwappedTubesAndLooksNoFurther) {
  Play play = with_opening(0.2, kAtStation35);
  play.swapped = true;

  const auto found = only(StagedTest(play).take(Direction::depressurize).findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::tubes_swapped);
  EXPECT_LT(found->size, -20);
}

TEST(Diagnosis, FindsALostSignal) {
  StagedTest test(Play{});
  test.take(Direction::depressurize);
  for (const std::size_t i : {8U, 9U}) {
    StationRecord& s = test.record().directions[0].stations[i];
    s.signal_mean_pa = s.flow_mean_m3_s = 0;
    for (BlockMean& b : s.blocks.means) b.flow_m3_s = 0;
  }

  const auto found = only(test.findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::signal_lost);
  EXPECT_EQ(found->station, 8);
  EXPECT_EQ(found->size, 2);
}

TEST(Diagnosis, FindsADriftOfTheFanSideZero) {
  StagedTest test(Play{});
  test.take(Direction::depressurize);
  test.record().directions[0].after.signal_pa = 0.9;

  const auto found = of_kind(test.findings(), FindingKind::signal_drift);

  ASSERT_TRUE(found);
  EXPECT_EQ(found->size, 0.9);
  EXPECT_GT(found->other, 0.05);
}

TEST(Diagnosis, HoldsTheSizesOfTheBuildingAgainstEachOther) {
  StagedTest test(Play{});
  test.take(Direction::depressurize);
  test.record().building.floor_area_m2 = 70;     // 5.7 m high
  test.record().building.envelope_area_m2 = 90;  // 0.23 for each m3

  const Findings found = test.findings();

  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0].kind, FindingKind::wrong_floor_area);
  EXPECT_EQ(found[1].kind, FindingKind::wrong_envelope);
}

TEST(Diagnosis, FindsABarometerReducedToSeaLevel) {
  StagedTest test(Play{});
  test.take(Direction::depressurize);
  test.record().conditions.has_barometric = true;
  test.record().conditions.altitude_m = 850;
  test.record().conditions.barometric_pa = 101325;

  const auto found = only(test.findings());

  ASSERT_TRUE(found);
  EXPECT_EQ(found->kind, FindingKind::wrong_barometer);
  EXPECT_NEAR(found->size, -850, 1);               // m
  test.record().conditions.barometric_pa = 91000;  // 850 m of the standard atmosphere are 91.5 kPa
  EXPECT_TRUE(test.findings().empty());
  test.record().conditions.altitude_m = 0;  // nobody stated it
  test.record().conditions.barometric_pa = 83000;
  EXPECT_FALSE(of_kind(test.findings(), FindingKind::wrong_barometer));
}

TEST(Diagnosis, OfAnEmptyRecordIsEmpty) { EXPECT_TRUE(diagnose(RunRecord{}, RunResult{}).empty()); }

TEST(Diagnosis, AllocatesNothing) {
  StagedTest test(with_opening(0.12, kAtStation35));
  test.take(Direction::depressurize).take(Direction::pressurize);
  const RunResult result = analyse(test.record());
  const std::size_t before = test::allocations();

  const Findings found = diagnose(test.record(), result);

  EXPECT_EQ(test::allocations(), before);
  EXPECT_FALSE(found.empty());
}

}  // namespace
}  // namespace leeward::control
