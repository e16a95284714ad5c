#include "control/regulate/first_order_fit.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "tests/control/regulate/recorded_step.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

TEST(FirstOrderFit, FindsThePlantOfACleanRecord) {
  for (const double delay : {0.3, 0.37, 1.0}) {
    const LagModel truth{.gain = 150, .tau_s = 2.5, .delay_s = delay};
    const relay_plant::StepRecord record = relay_plant::recorded_step(truth, 0, 0.02, 1);

    const auto fit = fit_first_order(record.demand, record.pressure_pa, 0.1);

    ASSERT_TRUE(fit.has_value());
    EXPECT_NEAR(fit->model.gain / truth.gain, 1, 1e-4);
    EXPECT_NEAR(fit->model.tau_s / truth.tau_s, 1, 1e-4);
    EXPECT_NEAR(fit->model.delay_s, delay, 1e-4);
    EXPECT_GT(fit->explained_frac, 0.9999);
  }
}

TEST(FirstOrderFit, SaysNothingOfRecordsThatSayNothing) {
  const std::vector<double> still(100, 0.4);
  std::vector<double> moved = still;
  moved.back() = 0.5;
  std::vector<double> broken(100, 50.0);
  broken[7] = std::numeric_limits<double>::quiet_NaN();
  const std::vector<double> level(100, 50.0);

  EXPECT_FALSE(fit_first_order(still, level, 0.1).has_value());
  EXPECT_FALSE(fit_first_order(moved, broken, 0.1).has_value());
  EXPECT_FALSE(fit_first_order({moved.data(), 10}, {level.data(), 10}, 0.1).has_value());
  EXPECT_FALSE(fit_first_order({moved.data(), 50}, level, 0.1).has_value());
}

TEST(FirstOrderFit, AllocatesNothing) {
  const relay_plant::StepRecord record =
      relay_plant::recorded_step({.gain = 150, .tau_s = 2, .delay_s = 0.5}, 0.1, 0, 1);
  const std::size_t before = test::allocations();

  (void)fit_first_order(record.demand, record.pressure_pa, 0.1);

  EXPECT_EQ(test::allocations(), before);
}

}  // namespace
}  // namespace leeward::control
