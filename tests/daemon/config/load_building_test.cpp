#include "daemon/config/load_building.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Pair;

const std::string kBuildingText = R"([building]
name = "Demo house, invented"
volume_m3 = 400.0
envelope_area_m2 = 380.0
floor_area_m2 = 160.0
height_m = 5.4
[conditions]
indoor_c = 21.0
outdoor_c = 4.0
altitude_m = 250.0
wind_m_s = 3.0
)";

Loaded<BuildingFile> load_building_text(const std::string& text) {
  const config_test::TempFolder folder;
  Loaded<BuildingFile> out = load_building(folder.write("building.toml", text));
  EXPECT_EQ(out.value.has_value(), out.errors.empty());
  return out;
}

std::vector<std::string> building_errors(const std::string& text) {
  return brief(load_building_text(text).errors);
}

TEST(LoadBuilding, GivesWhatTheFileSays) {
  const auto file = load_building_text(kBuildingText);

  ASSERT_TRUE(file) << to_text(file.errors);
  EXPECT_EQ(file.value->building.name.view(), "Demo house, invented");
  EXPECT_EQ(file.value->building.volume_m3, 400);
  EXPECT_EQ(file.value->building.envelope_area_m2, 380);
  EXPECT_EQ(file.value->building.floor_area_m2, 160);
  EXPECT_EQ(file.value->building.height_m, 5.4);
  EXPECT_EQ(file.value->conditions.indoor_c, 21);
  EXPECT_EQ(file.value->conditions.outdoor_c, 4);
  EXPECT_EQ(file.value->conditions.altitude_m, 250);
  EXPECT_TRUE(file.value->conditions.has_wind);
  EXPECT_EQ(file.value->conditions.wind_m_s, 3);
  EXPECT_FALSE(file.value->conditions.has_barometric);
  EXPECT_TRUE(file.warnings.empty()) << to_text(file.warnings);
}

TEST(LoadBuilding, KeepsWhichNumbersWereGiven) {
  const auto file = load_building_text(with(kBuildingText, "wind_m_s = 3.0\n", ""));

  ASSERT_TRUE(file);
  EXPECT_THAT(file.value->given_building,
              ElementsAre(Pair("volume_m3", 400.0), Pair("envelope_area_m2", 380.0),
                          Pair("floor_area_m2", 160.0), Pair("height_m", 5.4)));
  EXPECT_THAT(file.value->given_conditions,
              ElementsAre(Pair("indoor_c", 21.0), Pair("outdoor_c", 4.0), Pair("altitude_m", 250.0)));
  EXPECT_FALSE(file.value->conditions.has_wind);
}

TEST(LoadBuilding, AsksForTheUnit) {
  EXPECT_THAT(building_errors(with(kBuildingText, "volume_m3", "volume")),
              ElementsAre("3:building.volume: unknown key; did you mean volume_m3: say the unit"));
}

TEST(LoadBuilding, RefusesNumbersOutOfBounds) {
  EXPECT_THAT(building_errors(with(kBuildingText, "400.0", "0")),
              ElementsAre("3:building.volume_m3: must be 5 to 5000000 m3, is 0"));
  EXPECT_THAT(building_errors(with(kBuildingText, "indoor_c = 21.0", "indoor_c = 294.15")),
              ElementsAre("8:conditions.indoor_c: must be -20 to 60 degrees C, is 294.15"));
  EXPECT_THAT(building_errors(with(kBuildingText, "altitude_m = 250.0", "barometric_pa = 1013.25")),
              ElementsAre("10:conditions.barometric_pa: must be 45000 to 110000 Pa, is 1013.25"));
}

TEST(LoadBuilding, NeedsBothTemperatures) {
  EXPECT_THAT(building_errors(with(kBuildingText, "outdoor_c = 4.0\n", "")),
              ElementsAre("7:conditions.outdoor_c: missing: a number, -60 to 60 degrees C"));
}

TEST(LoadBuilding, WarnsOfABarometerReducedToSeaLevel) {
  const std::string high =
      with(kBuildingText, "altitude_m = 250.0", "altitude_m = 1600.0\nbarometric_pa = 101300");

  const auto file = load_building_text(high);

  ASSERT_TRUE(file);
  EXPECT_TRUE(file.value->conditions.has_barometric);
  EXPECT_THAT(brief(file.warnings), ElementsAre(HasSubstr("11:conditions.barometric_pa: is more than 5 %")));
}

TEST(LoadBuilding, TakesABarometerThatFitsTheAltitude) {
  // 83427.5 Pa at 1609.344 m: ASHRAE 1997 equation
  const auto file = load_building_text(
      with(kBuildingText, "altitude_m = 250.0", "altitude_m = 1609.0\nbarometric_pa = 83400"));

  EXPECT_THAT(brief(file.warnings), IsEmpty());
}

TEST(LoadBuilding, WarnsOfWhatItHasToAssume) {
  const auto file = load_building_text("[building]\nname = \"x\"\n");

  ASSERT_TRUE(file);
  EXPECT_THAT(brief(file.warnings),
              ElementsAre(HasSubstr("no n50"),
                          HasSubstr("conditions: not given: a run needs indoor_c and outdoor_c")));
}

}  // namespace
}  // namespace leeward::daemon
