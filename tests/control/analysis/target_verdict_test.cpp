#include "control/analysis/target_verdict.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace leeward::control {
namespace {

TargetSpec air_change_target(double limit) {
  TargetSpec target;
  target.limit = limit;
  return target;
}

constexpr TargetFigure kFigure{.known = true, .value = 2.9, .high = 3.05, .upper = 3.02};

TEST(JudgeTarget, HoldsTheFigureOrItsBoundAgainstTheLimit) {
  const TargetVerdict simple = judge_target(air_change_target(3), kFigure, Decision::simple);
  const TargetVerdict guarded = judge_target(air_change_target(3), kFigure, Decision::guarded);

  EXPECT_TRUE(simple.judged && simple.passed);
  EXPECT_EQ(simple.compared, 2.9);
  EXPECT_TRUE(guarded.judged);
  EXPECT_FALSE(guarded.passed);
  EXPECT_EQ(guarded.compared, 3.02);
}

TEST(JudgeTarget, AllowsTheLimitItself) {
  EXPECT_TRUE(judge_target(air_change_target(2.9), kFigure, Decision::simple).passed);
  EXPECT_FALSE(judge_target(air_change_target(2.8999), kFigure, Decision::simple).passed);
}

TEST(JudgeTarget, IsSilentAboutWhatIsNotKnown) {
  TargetFigure unknown = kFigure;
  unknown.known = false;
  TargetFigure broken = kFigure;
  broken.upper = std::numeric_limits<double>::quiet_NaN();

  EXPECT_FALSE(judge_target(air_change_target(3), unknown, Decision::simple).judged);
  EXPECT_FALSE(judge_target(air_change_target(3), broken, Decision::guarded).judged);
  EXPECT_TRUE(judge_target(air_change_target(3), broken, Decision::simple).judged);
}

TEST(JudgeTarget, ComparesInTheUnitOfTheLimit) {
  TargetSpec target = air_change_target(0.25);
  target.metric = TargetMetric::qe75;
  target.unit = TargetUnit::cfm_ft2;
  TargetFigure figure{.known = true, .value = 4.572, .high = 5, .upper = 4.9};

  // 0.25 cfm/ft2 = 4.572 m3/(h m2) = 1.270 L/(s m2), exact by the definition of the foot.
  EXPECT_NEAR(judge_target(target, figure, Decision::simple).value, 0.25, 1e-12);
  target.unit = TargetUnit::l_s_m2;
  EXPECT_NEAR(judge_target(target, figure, Decision::simple).value, 1.27, 1e-12);
}

// Factors of RESNET 380, from memory: one point times 1.1; several times 1 + u where u is above 10 %.
TEST(JudgeTarget, PutsTheProgrammesFactorOnTheFigureAlone) {
  TargetSpec target = air_change_target(3);
  target.one_point_factor = 1.1;
  target.add_uncertainty_above_frac = 0.1;
  TargetFigure one_point = kFigure;
  one_point.exponent_assumed = true;
  TargetFigure uncertain = kFigure;
  uncertain.high = 1.2 * 2.9;

  const TargetVerdict verdict = judge_target(target, one_point, Decision::simple);
  EXPECT_EQ(verdict.value, 2.9);
  EXPECT_NEAR(verdict.compared, 3.19, 1e-12);
  EXPECT_FALSE(verdict.passed);
  EXPECT_NEAR(judge_target(target, uncertain, Decision::simple).factor, 1.2, 1e-12);
  EXPECT_EQ(judge_target(target, uncertain, Decision::guarded).factor, 1);
  EXPECT_EQ(judge_target(target, kFigure, Decision::simple).factor, 1);
}

TEST(UnitFits, KeepsAirChangesAndAreasApart) {
  EXPECT_TRUE(unit_fits(TargetMetric::n50, TargetUnit::per_h));
  EXPECT_FALSE(unit_fits(TargetMetric::n50, TargetUnit::cfm_ft2));
  EXPECT_FALSE(unit_fits(TargetMetric::qe50, TargetUnit::per_h));
  EXPECT_TRUE(unit_fits(TargetMetric::q4_loss, TargetUnit::m3_h_m2));
  EXPECT_FALSE(unit_fits(TargetMetric::normalized_area, TargetUnit::m3_h_m2));
}

}  // namespace
}  // namespace leeward::control
