#include "control/estimate/plant_filter.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/control/plant_twin.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

constexpr double kTwinVolume = 400;

/// Follows a twin through a move up, a stand and a move down.
PlantFilter followed(PlantTwin& twin, int ticks, const HouseCurve& house = house_prior(kTwinVolume)) {
  PlantFilter f = plant_prior(twin.model(), kTwinVolume, house, fan_map_prior(true));
  double acting = 0;
  for (int i = 0; i < ticks; ++i) {
    plant_predict(f, twin.model(), acting, 0.1);
    plant_see_pressure(f, twin.pressure_reading_pa());
    plant_see_signal(f, twin.signal_reading_pa());
    plant_anchor(f, twin.model(), 0.1);
    const double demand = i < 150 ? 0.45 : i < 300 ? 0.7 : 0.5;
    acting = i == 0 ? 0 : (i - 1 < 150 ? 0.45 : i - 1 < 300 ? 0.7 : 0.5);
    twin.step(demand);
  }
  return f;
}

TEST(PlantFilter, LearnsFanAndHouseThatItWasNotTold) {
  PlantTwin twin(std::log(0.2), 0.008);
  const PlantFilter f = followed(twin, 450);

  EXPECT_NEAR(f.at(PlantPart::level), std::log(0.2), 0.03);
  EXPECT_NEAR(f.at(PlantPart::exponent), 0.65, 0.05);
  EXPECT_NEAR(f.at(PlantPart::storage), std::log(0.008), 0.15);
  EXPECT_NEAR(f.at(PlantPart::offset), 0.04, 0.02);
  EXPECT_NEAR(f.at(PlantPart::pressure), twin.at().pressure_pa, 0.3);
  EXPECT_NEAR(f.at(PlantPart::speed), twin.at().speed, 0.01);
  EXPECT_LT(f.surprise[0], 3);
  EXPECT_LT(f.surprise[1], 3);
}

TEST(PlantFilter, IsAheadOfTheGaugeOnTheWayUp) {
  PlantTwin twin(std::log(0.2), 0.008);
  const PlantFilter f = followed(twin, 165);  // in the move from 0.45 to 0.7

  EXPECT_GT(f.at(PlantPart::pressure), f.at(PlantPart::gauge) + 0.3);
  const double behind = twin.at().pressure_pa - f.at(PlantPart::gauge);
  EXPECT_LT(std::abs(f.at(PlantPart::pressure) - twin.at().pressure_pa), 0.5 * behind);
}

TEST(PlantFilter, DoesNotRestInAFalseEquilibrium) {
  // Certain of a house three times as tight; the anchor alone brings it back.
  PlantTwin twin(std::log(0.2), 0.008);
  HouseCurve house = house_prior(kTwinVolume);
  house.pair.a = std::log(0.2 / 3);
  house.pair.var_a = 1e-3;

  const PlantFilter f = followed(twin, 450, house);

  EXPECT_NEAR(f.at(PlantPart::level), std::log(0.2), 0.1);
  EXPECT_NEAR(f.at(PlantPart::pressure), twin.at().pressure_pa, 0.5);
}

TEST(PlantFilter, LeavesOutWhatIsNoNumber) {
  PlantTwin twin(std::log(0.2), 0.008);
  PlantFilter f = followed(twin, 100);
  const PlantFilter before = f;

  plant_see_pressure(f, std::numeric_limits<double>::quiet_NaN());
  plant_see_signal(f, std::numeric_limits<double>::infinity());
  plant_predict(f, twin.model(), std::numeric_limits<double>::quiet_NaN(), 0.1);
  plant_predict(f, twin.model(), 0.5, 0);

  EXPECT_EQ(f, before);
}

TEST(PlantFilter, StaysANumberWhateverTheGaugesShow) {
  PlantTwin twin(std::log(0.2), 0.008);
  PlantFilter f = plant_prior(twin.model(), 0, house_prior(0), fan_map_prior(false));
  std::uint64_t seed = 7;
  const auto next = [&seed] {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(seed >> 11U) / 9007199254740992.0;
  };
  for (int i = 0; i < 20000; ++i) {
    plant_predict(f, twin.model(), next(), 0.01 + 2 * next());
    plant_see_pressure(f, 2000 * (next() - 0.5));
    plant_see_signal(f, 4000 * (next() - 0.2));
    plant_anchor(f, twin.model(), 0.1);
    for (const double x : f.x) ASSERT_TRUE(std::isfinite(x)) << i;
    for (const double p : f.p) ASSERT_TRUE(std::isfinite(p)) << i;
  }
}

/// The zone's storage after 200 s of a running fan, having been taken for e times the usual one.
double storage_after_mistake(double gusts_pa, bool gauges) {
  PlantTwin twin(-2, 0.008);
  PlantModel model = twin.model();
  model.wind_u_pa = gusts_pa;
  PlantFilter f = plant_prior(model, 400, house_prior(400), fan_map_prior(true));
  auto& storage = f.x[static_cast<std::size_t>(PlantPart::storage)];
  storage += 1;
  for (int i = 0; i < 2000; ++i) {
    plant_predict(f, model, 0.5, 0.1);
    if (gauges) plant_see_pressure(f, 30 + 25 * std::sin(0.37 * i));
  }
  return storage;
}

TEST(PlantFilter, ComesBackInGustsToTheStorageThatIsUsualForTheVolume) {
  const double usual = std::log(1.7 * 400 / (1.2 * 101325));

  EXPECT_NEAR(storage_after_mistake(5, false), usual, 0.1);
  EXPECT_NEAR(storage_after_mistake(0.05, false), usual + 1, 0.2);
}

TEST(PlantFilter, TakesNoGustForAZoneThatItsVolumeCannotBe) {
  EXPECT_GE(storage_after_mistake(5, true), std::log(0.3 * 400 / 101325));
  EXPECT_LE(storage_after_mistake(5, true), std::log(6.0 * 400 / 101325));
}

TEST(PlantFilter, KeepsFanAndZoneForTheOtherDirection) {
  PlantTwin twin(std::log(0.2), 0.008);
  const PlantFilter f = followed(twin, 450);

  const PlantFilter other = for_other_direction(f);

  EXPECT_EQ(other.at(PlantPart::storage), f.at(PlantPart::storage));
  EXPECT_EQ(other.at(PlantPart::level), f.at(PlantPart::level));
  EXPECT_GT(other.u(PlantPart::level), f.u(PlantPart::level));
  EXPECT_EQ(other.at(PlantPart::pressure), 0);
}

TEST(PlantFilter, AllocatesNothing) {
  PlantTwin twin(std::log(0.2), 0.008);
  PlantFilter f = plant_prior(twin.model(), 0, house_prior(0), fan_map_prior(true));
  const std::size_t before = test::allocations();
  for (int i = 0; i < 100; ++i) {
    plant_predict(f, twin.model(), 0.4, 0.1);
    plant_see_pressure(f, 1);
    plant_see_signal(f, 1);
    plant_anchor(f, twin.model(), 0.1);
  }
  EXPECT_EQ(test::allocations(), before);
}

}  // namespace
}  // namespace leeward::control
