#include "sim/relax.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::sim {
namespace {

TEST(Relax, IsExactForALinearLeakAtAnyStep) {
  const auto leak = [](double pa) { return Outflow{0.02 * (pa - 7), 0.02}; };
  for (const double dt : {1e-4, 0.01, 0.1, 1.0, 100.0}) {
    const double z = dt * 0.02 / 0.01;
    const Relaxed next = relax(50, dt, 0.01, leak);
    EXPECT_NEAR(next.end_pa, 7 + 43 * std::exp(-z), 2e-2) << dt;  // the chord stops 1e-4 of the way off
    EXPECT_NEAR(next.mean_pa, 7 + 43 * (1 - std::exp(-z)) / z, 5e-2) << dt;
  }
  EXPECT_NEAR(relax(50, 0.1, 0.1, leak).end_pa, 7 + 43 * std::exp(-0.02), 1e-9);
}

TEST(Relax, ALongStepEndsAtTheBalanceOfAnyPowerLaw) {
  for (const double n : {0.5, 0.65, 0.8, 1.0})
    for (const double balance_pa : {-30.0, 0.0, 0.5, 60.0})
      for (const double start : {-80.0, -1.0, 0.3, 100.0}) {
        const auto law = [n](double pa) {
          const double size = std::max(std::abs(pa), kStraightBelowPa);
          return std::pow(size, n - 1) * pa;
        };
        const auto leak = [&](double pa) {
          const double size = std::max(std::abs(pa), kStraightBelowPa);
          const double slope = std::pow(size, n - 1) * (std::abs(pa) > kStraightBelowPa ? n : 1);
          return Outflow{law(pa) - law(balance_pa), slope};
        };
        double pa = start;
        for (int i = 0; i < 4; ++i) pa = relax(pa, 1, 1e-4, leak).end_pa;
        EXPECT_NEAR(pa, balance_pa, 0.02) << "n " << n << " from " << start;
      }
}

TEST(Relax, AStepNeverGoesBeyondTheBalance) {
  const auto orifice = [](double pa) {
    const double size = std::max(std::abs(pa), kStraightBelowPa);
    return Outflow{pa / std::sqrt(size), (std::abs(pa) > kStraightBelowPa ? 0.5 : 1.0) / std::sqrt(size)};
  };
  for (double dt = 0.001; dt < 100; dt *= 1.5) {
    const double pa = relax(20, dt, 1, orifice).end_pa;
    EXPECT_GT(pa, -0.01) << dt;  // absolute: what the chord's search may leave
    EXPECT_LT(pa, 20) << dt;
  }
}

TEST(Relax, WithoutAnyLeakThePressureRunsStraight) {
  const auto nothing = [](double) { return Outflow{-0.5, 0}; };
  EXPECT_NEAR(relax(3, 0.1, 0.01, nothing).end_pa, 8, 1e-12);
  EXPECT_NEAR(relax(3, 0.1, 0.01, nothing).mean_pa, 5.5, 1e-12);
}

}  // namespace
}  // namespace leeward::sim
