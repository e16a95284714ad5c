#include "daemon/config/load_house.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using testing::ElementsAre;
using testing::HasSubstr;

const std::string kHouseText = R"([house]
name = "h"
volume_m3 = 250
tap_cp = -0.1
leak = [
  { name = "a", c_m3_s_pan = 0.01, n = 0.6, height_m = 1.5, wind_cp = 0.6, facade = "wall-2" },
  { name = "b", c_m3_s_pan = 0.02, facade = "ceiling" },
]
[wind]
mean_m_s = 4
spectrum = "kaimal"
[sensor.building]
noise_pa = 0.2
[sensor.signal]
lag_s = 0.3
[[fan]]
file = "fan.toml"
fitted = "bore-2"
head_factor = 0.97
facade = "wall-3"
[fan.drive]
lag_s = 2
)";
const std::string kHouseFanText = R"([fan]
name = "f"
curve_m3_s_pa = [[0, 300], [2, 100]]
[[fan.restriction]]
name = "bore-1"
k_m3_s_pam = 0.2
signal_min_pa = 5
signal_max_pa = 100
[[fan.restriction]]
name = "bore-2"
k_m3_s_pam = 0.1
signal_min_pa = 5
signal_max_pa = 100
)";

Loaded<sim::HouseSpec> load_house_text(const std::string& text) {
  const config_test::TempFolder folder;
  folder.write("fan.toml", kHouseFanText);
  return load_house(folder.write("house.toml", text));
}

TEST(LoadHouse, GivesWhatTheFileSays) {
  const auto house = load_house_text(kHouseText);

  ASSERT_TRUE(house) << to_text(house.errors);
  EXPECT_EQ(house.value->name.view(), "h");
  EXPECT_EQ(house.value->volume_m3, 250);
  EXPECT_EQ(house.value->tap_cp, -0.1);
  EXPECT_THAT(house.value->leaks, ElementsAre(sim::LeakSpec{"a", 0.01, 0.6, 1.5, 0.6, sim::Facade::wall_2},
                                              sim::LeakSpec{"b", 0.02, 0.65, 0, 0, sim::Facade::ceiling}));
  EXPECT_EQ(house.value->wind.mean_m_s, 4);
  EXPECT_EQ(house.value->wind.spectrum, sim::SpectrumKind::kaimal);
  EXPECT_EQ(house.value->sensors.building.noise_pa, 0.2);
  EXPECT_EQ(house.value->sensors.signal.lag_s, 0.3);
  ASSERT_EQ(house.value->fans.size(), 1U);
  EXPECT_EQ(house.value->fans[0].fan.fitted, 1);
  EXPECT_EQ(house.value->fans[0].head_factor, 0.97);
  EXPECT_EQ(house.value->fans[0].facade, sim::Facade::wall_3);
  EXPECT_EQ(house.value->fans[0].drive.lag_s, 2);
}

TEST(LoadHouse, LendsLeaksAndFanOfTheDemoHouse) {
  const auto house = load_house_text("[house]\nname = \"h\"\nvolume_m3 = 250\n");

  ASSERT_TRUE(house) << to_text(house.errors);
  EXPECT_EQ(house.value->leaks, sim::demo_leaks());
  EXPECT_EQ(house.value->fans, sim::one_fan());
}

TEST(LoadHouse, RefusesWhatAHouseCannotHave) {
  EXPECT_THAT(
      brief(load_house_text(config_test::with(kHouseText, "c_m3_s_pan = 0.02", "c_m3_s_pan = -0.02")).errors),
      ElementsAre("7:house.leak[1].c_m3_s_pan: must be 0 to 10 m3/(s Pa^n), is -0.02"));
  EXPECT_THAT(
      brief(load_house_text(config_test::with(kHouseText, "\"wall-2\"", "\"wall-5\"")).errors),
      ElementsAre("6:house.leak[0].facade: must be wall-1, wall-2, wall-3, wall-4, ceiling or floor, is "
                  "\"wall-5\""));
  EXPECT_THAT(brief(load_house_text(config_test::with(kHouseText, "volume_m3 = 250\n", "")).errors),
              ElementsAre("1:house.volume_m3: missing: a number, 5 to 5000000 m3"));
}

TEST(LoadHouse, RefusesAFanWithoutACurve) {
  const config_test::TempFolder folder;
  folder.write("fan.toml", config_test::with(kHouseFanText, "curve_m3_s_pa = [[0, 300], [2, 100]]\n", ""));

  EXPECT_THAT(brief(load_house(folder.write("house.toml", kHouseText)).errors),
              ElementsAre(HasSubstr("17:fan[0].file: needs curve_m3_s_pa")));
}

}  // namespace
}  // namespace leeward::daemon
