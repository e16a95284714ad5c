// The parts that pictures are drawn from: axes, the curve's band, the pressure envelope, the budget.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "daemon/document/axis.hpp"
#include "daemon/document/budget_entries.hpp"
#include "daemon/document/curve_plot.hpp"
#include "daemon/document/pressure_envelope.hpp"

namespace leeward::daemon {
namespace {

TEST(Axis, HasRoundTicksWithinIt) {
  const Axis axis = linear_axis(-63, 12);

  const std::vector<double> ticks = ticks_of(axis, 9);

  EXPECT_EQ(ticks, (std::vector<double>{-60, -50, -40, -30, -20, -10, 0, 10}));
}

TEST(Axis, HasTwoTicksAtLeastAndNotManyMore) {
  for (const double reach : {1e-6, 0.3, 0.5, 1.0, 3.43, 17.0, 999.0})
    for (const std::size_t most : {1U, 2U, 5U}) {
      const auto ticks = ticks_of(linear_axis(-reach, reach), most);
      EXPECT_GE(ticks.size(), 2U);
      EXPECT_LE(ticks.size(), most + 6);
    }
}

TEST(Axis, LogarithmicTicksStandWhereTheyBelong) {
  const Axis axis = log_axis(10, 60, 0);

  const std::vector<double> ticks = ticks_of(axis, 6);

  EXPECT_EQ(ticks, (std::vector<double>{10, 20, 30, 50}));
  EXPECT_DOUBLE_EQ(axis.place(10), 0);
  EXPECT_DOUBLE_EQ(axis.place(60), 1);
  EXPECT_NEAR(axis.place(std::sqrt(600.0)), 0.5, 1e-12);
}

TEST(Axis, OfNothingIsStillAnAxis) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const Axis& axis : {linear_axis(nan, 1), linear_axis(5, 5), linear_axis(0, 0), log_axis(0, 3),
                           log_axis(7, 7), log_axis(std::numeric_limits<double>::infinity(), -1)}) {
    EXPECT_LT(axis.low, axis.high);
    EXPECT_FALSE(ticks_of(axis, 5).empty());
  }
}

control::FitResult fit_of_example() {
  control::FitResult fit;
  fit.valid = true;
  fit.c_m3_s_pan = {true, 0.026, 0.026 * std::exp(-0.04), 0.026 * std::exp(0.04)};
  fit.n = {true, 0.65, 0.64, 0.66};
  const double q = 0.026 * std::pow(50, 0.65);
  fit.q_ref_m3_s = {true, q, q * std::exp(-0.01), q * std::exp(0.01)};
  return fit;
}

TEST(FlowAt, HasTheStatedIntervalsAtTheReferencePressureAndAtOnePascal) {
  const control::FitResult fit = fit_of_example();

  const CurveFlow at_reference = flow_at(fit, 50, 50);
  const CurveFlow at_one = flow_at(fit, 50, 1);

  EXPECT_NEAR(at_reference.low, fit.q_ref_m3_s.low, 1e-9);
  EXPECT_NEAR(at_reference.high, fit.q_ref_m3_s.high, 1e-9);
  EXPECT_NEAR(at_one.high, fit.c_m3_s_pan.high, 1e-9);
}

TEST(PointsOf, LieAboutTheCurveByTheirResiduals) {
  control::DirectionResult direction;
  direction.own = fit_of_example();
  direction.stations.push_back({.induced_pa = 50, .flow_m3_s = 0.3, .residual = 0.02});
  direction.stations.push_back({.induced_pa = -1, .flow_m3_s = 0.3});

  const auto points = points_of(direction);

  ASSERT_EQ(points.size(), 1U);
  EXPECT_NEAR(points[0].flow_m3_s, direction.own.q_ref_m3_s.value * std::exp(0.02), 1e-12);
}

TEST(PressureEnvelope, KeepsExtremesInABoundedNumberOfBins) {
  PressureEnvelope envelope;

  for (int i = 0; i < 200000; ++i) envelope.add(i * 0.02, i == 123456 ? -71.5 : (i == 7 ? 3.5 : -1.0));

  EXPECT_LE(envelope.bins().size(), PressureEnvelope::kMostBins);
  EXPECT_GT(envelope.bins().size(), PressureEnvelope::kMostBins / 4);
  double low = 0;
  double high = 0;
  for (const EnvelopeBin& bin : envelope.bins()) {
    low = std::min(low, bin.low_pa);
    high = std::max(high, bin.high_pa);
  }
  EXPECT_EQ(low, -71.5);
  EXPECT_EQ(high, 3.5);
}

TEST(PressureEnvelope, KnowsGaps) {
  PressureEnvelope envelope;

  envelope.add(0, 1);
  envelope.add(0.1, std::numeric_limits<double>::quiet_NaN());
  envelope.add(0.2, 2);

  ASSERT_EQ(envelope.bins().size(), 2U);
  EXPECT_TRUE(envelope.bins()[1].after_gap);
}

TEST(BudgetEntries, ComeLargestFirstAndSayWhatIsNotStated) {
  const control::Budget budget{
      .scatter = 0.001, .baseline = 0.02, .calibration = 0, .gauge = 0.004, .density = 0.003};

  const auto entries = budget_entries(budget, false, true);

  EXPECT_EQ(entries[0].name, "zero-flow pressure");
  EXPECT_EQ(entries[1].name, "scale of the pressure gauge");
  EXPECT_EQ(entries[1].relative_u, 0.004);
  EXPECT_EQ(entries[2].name, "air density");
  bool said = false;
  for (const BudgetEntry& e : entries) said = said || e.name == "fan calibration (not stated)";
  EXPECT_TRUE(said);
}

TEST(BudgetEntries, CallAnExponentAssumedOnlyWhereItIs) {
  const control::Budget budget{
      .scatter = 0, .baseline = 0, .calibration = 0, .density = 0, .wind = 0, .exponent = 1};

  EXPECT_EQ(budget_entries(budget, true, true)[0].name, "exponent assumed");
  EXPECT_EQ(budget_entries(budget, true, false)[0].name, "way to the reference pressure");
}

}  // namespace
}  // namespace leeward::daemon
