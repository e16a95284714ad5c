#include "control/analysis/joint_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "control/analysis/intervals.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

constexpr double kC = 0.04;
constexpr double kN = 0.68;
constexpr std::int64_t kTick = 100'000'000;

/// A test in gusts, made here: a first-order pressure adds to what drives the leaks. The fan is so steep that
/// it keeps its flow, or follows the gusts as it would at constant speed.
class GustyTest {
 public:
  GustyTest(const GustProcess& gusts, double yields, unsigned seed)
      : gusts_(gusts), yields_(yields), rng_(seed) {
    wind_ = gusts.sd_pa * gauss_(rng_);
    record_.before = baseline(60);
    for (int i = 0; i < 8; ++i) {
      pass(15);
      record_.stations.push_back(station(60 - 50.0 * i / 7));
    }
    pass(15);
    record_.after = baseline(60);
  }
  const DirectionRecord& record() const { return record_; }

 private:
  double step() {
    const double keeps = std::exp(-0.1 / gusts_.time_s);
    wind_ = keeps * wind_ + gusts_.sd_pa * std::sqrt(1 - keeps * keeps) * gauss_(rng_);
    now_ns_ += kTick;
    return wind_;
  }
  void pass(double seconds) {
    for (int i = 0; i < seconds * 10; ++i) (void)step();
  }
  BaselineRecord baseline(double seconds) {
    BaselineRecord b{.taken = true, .begin_ns = now_ns_};
    double squares = 0;
    const int count = static_cast<int>(seconds * 10);
    for (int i = 0; i < count; ++i) {
      const double p = 2 + step();  // along the direction of the test
      add(b.blocks, -p, 0, 0.1);
      b.mean_pa -= p / count;
      squares += p * p / count;
    }
    b.sd_pa = std::sqrt(std::max(0.0, squares - b.mean_pa * b.mean_pa));
    b.samples = count;
    b.end_ns = now_ns_;
    return b;
  }
  StationRecord station(double target_pa) {
    StationRecord s;
    s.target_pa = target_pa;
    s.begin_ns = now_ns_;
    s.signal_mean_pa = 50;
    for (int i = 0; i < 200; ++i) {
      const double d = step();
      const double driving = target_pa + yields_ * d;  // what makes the flow
      const double flow = kC * std::pow(std::max(0.1, driving), kN);
      const double measured =
          driving - d + 2 + 2 * d;  // the gust stands in the reading as in the zero-flow one
      add(s.blocks, -(measured), flow, 0.1);
      s.pressure_mean_pa -= measured / 200;
      s.flow_mean_m3_s += flow / 200;
    }
    s.samples = 200;
    s.end_ns = now_ns_;
    return s;
  }

  GustProcess gusts_;
  double yields_;
  std::mt19937 rng_;
  std::normal_distribution<double> gauss_;
  double wind_ = 0;
  std::int64_t now_ns_ = kTick;
  DirectionRecord record_;
};

JointFit fit_of(const DirectionRecord& record, bool with_prior = true) {
  return joint_fit({.record = record, .exponent = {.used = with_prior}});
}

TEST(JointFit, FindsACurveThatNothingDisturbs) {
  const GustyTest calm({1e-9, 10}, 0, 1);

  const JointFit fit = fit_of(calm.record());

  ASSERT_TRUE(fit.ok);
  EXPECT_NEAR(fit.curve.n, kN, 1e-3);
  EXPECT_NEAR(std::exp(fit.curve.ln_c + fit.curve.n * std::log(50)), kC * std::pow(50, kN), 1e-3 * 0.57);
  EXPECT_NEAR(fit.zero_flow_pa, 2, 0.02);
}

struct Held {
  int q50 = 0, n = 0;
};

Held intervals_that_hold(const GustProcess& gusts, double yields, int tests) {
  Held held;
  for (int i = 0; i < tests; ++i) {
    const GustyTest test(gusts, yields, static_cast<unsigned>(100 + i));
    const JointFit fit = fit_of(test.record(), false);
    const CurveIntervals found = curve_intervals(fit.curve, 50, 0.95);
    const double q50 = kC * std::pow(50, kN);
    held.q50 += found.q_ref_m3_s.low <= q50 && q50 <= found.q_ref_m3_s.high ? 1 : 0;
    held.n += found.n.low <= kN && kN <= found.n.high ? 1 : 0;
  }
  return held;
}

// 93 to 97 % is the goal; 400 tests show a share to 2.2 % at two standard deviations.
TEST(JointFit, StatesIntervalsThatHoldInGustsOfAnyLength) {
  for (const GustProcess& gusts : {GustProcess{0.8, 4}, GustProcess{1.5, 15}, GustProcess{1.5, 50}}) {
    const Held held = intervals_that_hold(gusts, 0, 400);
    EXPECT_GE(held.q50, 364) << gusts.time_s;
    EXPECT_GE(held.n, 364) << gusts.time_s;
    EXPECT_LE(held.q50, 399) << gusts.time_s;  // short gusts: the priors of gauge and load cost width
    EXPECT_LE(held.n, 399) << gusts.time_s;
  }
}

// A fan at constant speed gives way to a gust: flow and pressure move together. A fit that took the flow as a
// column would shift; ours must not.
TEST(JointFit, IsNotPulledByAFanThatGivesWay) {
  double off = 0;
  constexpr int tests = 200;
  for (int i = 0; i < tests; ++i) {
    const GustyTest test({2, 10}, 0.3, static_cast<unsigned>(900 + i));
    const JointFit fit = fit_of(test.record(), false);
    off += (fit.curve.ln_c + fit.curve.n * std::log(50) - std::log(kC * std::pow(50, kN))) / tests;
  }
  EXPECT_NEAR(off, 0, 0.003);
}

TEST(JointFit, SaysWithAndWithoutThePriorWhatTheDataCarry) {
  const GustyTest windy({4, 20}, 0, 7);

  const JointFit with = fit_of(windy.record());
  const JointFit without = fit_of(windy.record(), false);

  EXPECT_LT(half_width(with.curve.u, kFormN, 0.95), half_width(without.curve.u, kFormN, 0.95));
  EXPECT_GT(std::abs(with.curve.u.exponent.n), 0.001);
  EXPECT_LT(std::abs(without.curve.u.exponent.n), 1e-4);
  const GustyTest calm({0.02, 10}, 0, 8);
  EXPECT_LT(std::abs(fit_of(calm.record()).curve.u.exponent.n), 0.002);
}

TEST(JointFit, RefusesWhatItCannotFit) {
  const GustyTest test({1, 10}, 0, 9);
  DirectionRecord none = test.record();
  none.before.blocks.means.clear();
  EXPECT_FALSE(fit_of(none).ok);
  DirectionRecord empty = test.record();
  empty.stations.clear();
  EXPECT_FALSE(fit_of(empty).ok);
  DirectionRecord lost = test.record();
  for (StationRecord& s : lost.stations) s.blocks.means[0].flow_m3_s = 0;
  EXPECT_FALSE(fit_of(lost).ok);
}

TEST(JointFit, TakesOneStationWithThePriorAlone) {
  DirectionRecord one = GustyTest({0.3, 10}, 0, 10).record();
  while (one.stations.size() > 2) one.stations.pop_back();
  one.stations.pop_back();

  const JointFit fit = fit_of(one);

  ASSERT_TRUE(fit.ok);
  EXPECT_NEAR(fit.curve.n, 0.65, 0.02);
  EXPECT_NEAR(half_width(fit.curve.u, kFormN, 0.95), 1.96 * 0.06, 0.01);
}

TEST(JointFit, AllocatesNothing) {
  const GustyTest test({1, 10}, 0, 12);
  const std::size_t before = test::allocations();
  (void)fit_of(test.record());
  EXPECT_EQ(test::allocations(), before);
}

}  // namespace
}  // namespace leeward::control
