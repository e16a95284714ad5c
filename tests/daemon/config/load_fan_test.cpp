#include "daemon/config/load_fan.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;

const std::string kFanText = R"([fan]
name = "demo-fan"
density_kg_m3 = 1.2041
min_demand_frac = 0.05
curve_m3_s_pa = [[0.0, 300.0], [1.0, 255.0], [2.0, 120.0]]
[[fan.restriction]]
name = "bore-300"
k_m3_s_pam = 0.204
m = 0.5
signal_min_pa = 5.0
signal_max_pa = 400.0
loss_frac = 0.1
[[fan.restriction]]
name = "bore-150"
k_m3_s_pam = 0.05
signal_min_pa = 5
signal_max_pa = 300
k_relative_u = 0.02
)";

std::vector<std::string> fan_errors(const std::string& text) {
  const config_test::TempFolder folder;
  const Loaded<control::FanSpec> fan = load_fan(folder.write("fan.toml", text));
  EXPECT_EQ(fan.value.has_value(), fan.errors.empty());
  return brief(fan.errors);
}

TEST(LoadFan, GivesWhatTheFileSays) {
  const config_test::TempFolder folder;

  const Loaded<control::FanSpec> fan = load_fan(folder.write("fan.toml", kFanText));

  ASSERT_TRUE(fan) << to_text(fan.errors);
  control::FanSpec expected;
  expected.name = "demo-fan";
  expected.density_kg_m3 = 1.2041;
  expected.min_demand_frac = 0.05;
  expected.curve.push_back({0, 300});
  expected.curve.push_back({1, 255});
  expected.curve.push_back({2, 120});
  expected.restrictions.push_back({"bore-300", 0.204, 0.5, 5, 400, 0.1, 0});
  expected.restrictions.push_back({"bore-150", 0.05, 0.5, 5, 300, 0, 0.02});
  EXPECT_EQ(*fan.value, expected);
  EXPECT_TRUE(fan.warnings.empty());
}

TEST(LoadFan, TakesAFanWithoutACurve) {
  EXPECT_THAT(fan_errors(with(kFanText, "curve_m3_s_pa = [[0.0, 300.0], [1.0, 255.0], [2.0, 120.0]]\n", "")),
              testing::IsEmpty());
}

TEST(LoadFan, RefusesACurveThatDoesNotFall) {
  EXPECT_THAT(fan_errors(with(kFanText, "[1.0, 255.0]", "[1.0, 301.0]")),
              ElementsAre("5:fan.curve_m3_s_pa: flows must rise and pressures must not, from point to point; "
                          "point 1 (from 0) breaks that"));
  EXPECT_THAT(fan_errors(with(kFanText, "[2.0, 120.0]", "[1.0, 120.0]")),
              ElementsAre(HasSubstr("point 2 (from 0) breaks that")));
  EXPECT_THAT(fan_errors(with(kFanText, ", [1.0, 255.0], [2.0, 120.0]", "")),
              ElementsAre("5:fan.curve_m3_s_pa: must be an array of 2 to 16 pairs of numbers, has 1"));
  EXPECT_THAT(fan_errors(with(kFanText, "[1.0, 255.0]", "[1.0]")),
              ElementsAre("5:fan.curve_m3_s_pa[1]: must be an array of 2 to 2 numbers, has 1"));
}

TEST(LoadFan, RefusesRestrictionsThatDoNotStandLargestFirst) {
  EXPECT_THAT(fan_errors(with(kFanText, "k_m3_s_pam = 0.05", "k_m3_s_pam = 0.3")),
              ElementsAre("15:fan.restriction[1].k_m3_s_pam: restrictions must stand largest first; this one "
                          "passes more than the last"));
}

TEST(LoadFan, RefusesTwoRestrictionsOfOneName) {
  EXPECT_THAT(fan_errors(with(kFanText, "bore-150", "bore-300")),
              ElementsAre("14:fan.restriction[1].name: \"bore-300\" is there already; names must differ"));
}

TEST(LoadFan, RefusesAnEmptySignalRange) {
  EXPECT_THAT(fan_errors(with(kFanText, "signal_max_pa = 300", "signal_max_pa = 5")),
              ElementsAre("17:fan.restriction[1].signal_max_pa: must be above signal_min_pa"));
}

TEST(LoadFan, RefusesAFanWithoutRestrictions) {
  EXPECT_THAT(fan_errors("[fan]\nname = \"x\"\n"),
              ElementsAre("1:fan.restriction: missing: at least one [[fan.restriction]]"));
}

TEST(LoadFan, SaysEachMissingKey) {
  EXPECT_THAT(fan_errors("[fan]\nname = \"x\"\n[[fan.restriction]]\nk = 0.2\n"),
              ElementsAre("3:fan.restriction[0].name: missing: a text of 1 to 48 bytes",
                          "3:fan.restriction[0].signal_min_pa: missing: a number, 0 to 1000 Pa",
                          "3:fan.restriction[0].signal_max_pa: missing: a number, 1 to 5000 Pa",
                          "4:fan.restriction[0].k: unknown key; did you mean k_m3_s_pam: say the unit"));
}

}  // namespace
}  // namespace leeward::daemon
