#include "sim/gauge.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::sim {
namespace {

SensorSpec bare_gauge() { return {.lag_s = 0, .noise_pa = 0, .resolution_pa = 0, .drift_pa_per_10min = 0}; }

TEST(Gauge, LagsAsAFirstOrderSystem) {
  SensorSpec spec = bare_gauge();
  spec.lag_s = 0.4;
  Gauge gauge(spec, 1);
  for (int i = 1; i <= 20; ++i) {
    gauge.follow(50, 0.1);
    gauge.sample(0.1);
    EXPECT_NEAR(gauge.reading_pa(), 50 * (1 - std::exp(-0.1 * i / 0.4)), 1e-6);
  }
}

TEST(Gauge, RoundsToItsResolution) {
  SensorSpec spec = bare_gauge();
  spec.resolution_pa = 0.1;
  Gauge gauge(spec, 1);
  gauge.settle(-12.3456);
  EXPECT_NEAR(gauge.reading_pa(), -12.3, 1e-12);
}

TEST(Gauge, NoiseHasItsStandardDeviation) {
  SensorSpec spec = bare_gauge();
  spec.noise_pa = 0.1;
  Gauge gauge(spec, 4);
  double sum = 0, sum2 = 0;
  constexpr int count = 40000;
  for (int i = 0; i < count; ++i) {
    gauge.sample(0.1);
    sum += gauge.reading_pa() / count;
    sum2 += gauge.reading_pa() * gauge.reading_pa() / count;
  }
  EXPECT_NEAR(sum, 0, 0.002);
  EXPECT_NEAR(std::sqrt(sum2), 0.1, 0.002);  // 4 standard errors
}

TEST(Gauge, DriftAfterTenMinutesScattersOverSeedsAsStated) {
  SensorSpec spec = bare_gauge();
  spec.drift_pa_per_10min = 0.1;
  double sum2 = 0;
  constexpr int count = 2000;
  for (int seed = 0; seed < count; ++seed) {
    Gauge gauge(spec, static_cast<std::uint64_t>(seed));
    for (int i = 0; i < 60; ++i) gauge.sample(10);
    sum2 += gauge.reading_pa() * gauge.reading_pa() / count;
  }
  EXPECT_NEAR(std::sqrt(sum2), 0.1, 0.007);  // 4 standard errors
}

TEST(Gauge, FaultsDoWhatTheirNamesSay) {
  Gauge gauge(bare_gauge(), 1);
  const auto read = [&gauge](double pa) {
    gauge.follow(pa, 0.1);
    gauge.sample(0.1);
    return gauge.reading_pa();
  };
  gauge.fault.swapped = true;
  EXPECT_EQ(read(20), -20);
  gauge.fault = {.tube_off = true};
  EXPECT_EQ(read(20), 0);
  gauge.fault = {.shift_pa = 9.81};
  EXPECT_NEAR(read(20), 29.81, 1e-12);
  gauge.fault = {.stuck = true};
  EXPECT_NEAR(read(33), 29.81, 1e-12);
  gauge.fault = {.drift_pa_s = 0.5};
  EXPECT_NEAR(read(20), 20.05, 1e-12);
}

TEST(Gauge, AKinkIsALagOfItsOwnAndGoesWithoutAJump) {
  Gauge gauge(bare_gauge(), 1);
  gauge.follow(10, 0.1);
  gauge.set_kink(5);
  for (int i = 0; i < 50; ++i) gauge.follow(60, 0.1);
  gauge.sample(0.1);
  EXPECT_NEAR(gauge.reading_pa(), 60 - 50 * std::exp(-1), 1e-6);
  gauge.set_kink(0);
  gauge.follow(60, 0.1);
  gauge.sample(0.1);
  EXPECT_EQ(gauge.reading_pa(), 60);
}

}  // namespace
}  // namespace leeward::sim
