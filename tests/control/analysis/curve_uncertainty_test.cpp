#include "control/analysis/curve_uncertainty.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "control/analysis/even_errors.hpp"
#include "control/analysis/mean_curve.hpp"
#include "control/analysis/student_t.hpp"

namespace leeward::control {
namespace {

CurveUncertainty uncertainty_of_one_direction() {
  CurveUncertainty u;
  u.scatter = {.stated = {4e-4, -1e-4, 3e-5}, .observed_ratio = 0.5, .degrees_of_freedom = 6};
  u.baseline[0] = {0.02, -0.005};
  u.calibration[1] = {0.03, 0};
  u.gauge = {-0.006, 0};
  u.density[0] = {0.001, 0};
  u.exponent = {0.01, -0.002};
  return u;
}

TEST(Budget, SplitsAFigureByCause) {
  const Budget b = budget_of(uncertainty_of_one_direction(), {1, 3});

  EXPECT_NEAR(b.scatter, std::sqrt(4e-4 - 6e-4 + 27e-5), 1e-12);
  EXPECT_NEAR(b.baseline, 0.005, 1e-12);
  EXPECT_NEAR(b.calibration, 0.03, 1e-12);
  EXPECT_NEAR(b.gauge, 0.006, 1e-12);
  EXPECT_NEAR(b.density, 0.001, 1e-12);
  EXPECT_NEAR(b.exponent, 0.004, 1e-12);
  EXPECT_NEAR(b.total,
              std::sqrt(b.scatter * b.scatter + 0.005 * 0.005 + 0.03 * 0.03 + 0.006 * 0.006 + 0.001 * 0.001 +
                        0.004 * 0.004),
              1e-12);
}

TEST(Mapped, LeavesAFigureThatDoesNotChangeAsItIs) {
  const CurveUncertainty u = uncertainty_of_one_direction();
  const CurveMap map{.cc = 2, .cn = 0.5, .nn = 4};

  // ln C' = 2 ln C + 0.5 n and n' = 4 n, so that 0.5 ln C' - n' / 16 = ln C.
  const Budget before = budget_of(u, {1, 0});
  const Budget after = budget_of(mapped(u, map), {0.5, -1.0 / 16});

  EXPECT_NEAR(after.scatter, before.scatter, 1e-15);
  EXPECT_NEAR(after.baseline, before.baseline, 1e-15);
  EXPECT_NEAR(after.gauge, before.gauge, 1e-15);
  EXPECT_NEAR(after.exponent, before.exponent, 1e-15);
  EXPECT_NEAR(after.total, before.total, 1e-15);
}

TEST(HalfWidth, GoesFromTheNormalLawToStudentsWithTheScatterThatIsSeen) {
  CurveUncertainty u;
  u.scatter = {.stated = {1e-4, 0, 0}, .observed_ratio = 0.9, .degrees_of_freedom = 6};
  const auto factor = [&](double ratio) {
    u.scatter.observed_ratio = ratio;
    return half_width(u, kFormLnC, 0.95) / budget_of(u, kFormLnC).total;
  };
  const double normal = student_t_two_sided(0.95, std::numeric_limits<double>::infinity());

  EXPECT_NEAR(factor(0.9), normal, 1e-12);
  EXPECT_NEAR(factor(1.0001), normal, 1e-3);
  EXPECT_GT(factor(2), factor(1.2));
  EXPECT_NEAR(factor(1e3), student_t_two_sided(0.95, 6), 1e-5);
}

TEST(HalfWidth, AddsAFurtherUncertaintyBySquares) {
  const CurveUncertainty u = uncertainty_of_one_direction();
  const double normal = student_t_two_sided(0.95, std::numeric_limits<double>::infinity());

  const double total = std::hypot(budget_of(u, kFormLnC).total, 0.04);
  const auto fourth = [](double of) { return of * of * of * of; };
  const double even = std::sqrt(fourth(u.gauge.ln_c) + fourth(u.density[0].ln_c) + fourth(u.density[1].ln_c));

  EXPECT_NEAR(half_width(u, kFormLnC, 0.95, 0.04),
              normal * even_error_factor(0.95, even / (total * total)) * total, 1e-15);
}

TEST(MeanCurve, OfTwiceTheSameCurveIsThatCurveWithLessOfItsOwnErrors) {
  const UncertainCurve one{std::log(0.05), 0.65, uncertainty_of_one_direction()};

  const UncertainCurve mean = mean_curve(one, one, 50);

  EXPECT_NEAR(mean.ln_c, one.ln_c, 1e-14);
  EXPECT_NEAR(mean.n, one.n, 1e-15);
  for (const double pa : {4.0, 50.0}) {
    const Budget single = budget_of(one.u, form_ln_flow_at(pa));
    const Budget both = budget_of(mean.u, form_ln_flow_at(pa));
    EXPECT_NEAR(both.scatter, single.scatter / std::sqrt(2), 1e-12);
    EXPECT_NEAR(both.baseline, single.baseline / std::sqrt(2), 1e-12);
    EXPECT_NEAR(both.calibration, single.calibration, 1e-12);
    EXPECT_NEAR(both.gauge, single.gauge, 1e-12);
    EXPECT_NEAR(both.density, single.density, 1e-12);
    EXPECT_NEAR(both.exponent, single.exponent, 1e-12);
  }
}

TEST(MeanCurve, WeighsEachDirectionByItsFlow) {
  UncertainCurve small{std::log(0.02), 0.6, {}};
  UncertainCurve large{std::log(0.06), 0.6, {}};
  small.u.calibration[0] = {0.04, 0};

  const UncertainCurve mean = mean_curve(small, large, 50);

  EXPECT_NEAR(std::exp(mean.ln_c), 0.04, 1e-15);
  EXPECT_NEAR(budget_of(mean.u, form_ln_flow_at(50)).calibration, 0.01, 1e-15);
}

TEST(MeanCurve, JudgesTheScatterOfBothDirectionsTogether) {
  UncertainCurve calm{std::log(0.05), 0.65, uncertainty_of_one_direction()};
  UncertainCurve windy = calm;
  calm.u.scatter.observed_ratio = 0.5;
  windy.u.scatter.observed_ratio = 3.5;

  const UncertainCurve mean = mean_curve(calm, windy, 50);

  EXPECT_NEAR(mean.u.scatter.observed_ratio, 2, 1e-15);
  EXPECT_EQ(mean.u.scatter.degrees_of_freedom, 12);

  calm.u.scatter.degrees_of_freedom = windy.u.scatter.degrees_of_freedom = 0;
  EXPECT_EQ(mean_curve(calm, windy, 50).u.scatter.scale(), 1);
}

}  // namespace
}  // namespace leeward::control
