#include "daemon/config/load_population.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;

std::string shipped_population(const std::string& name) {
  return std::string(LEEWARD_SOURCE_DIR) + "/config/populations/" + name;
}

Loaded<sim::CampaignSpec> population_of(const std::string& text) {
  const config_test::TempFolder folder;
  return load_population(folder.write("p.toml", text));
}

const std::string kHead = "[population]\nname = \"p\"\n";

TEST(LoadPopulation, TheShippedStepsSpellOutWhatIsUsual) {
  const auto spec = load_population(shipped_population("steps.toml"));

  ASSERT_TRUE(spec) << to_text(spec.errors);
  sim::PopulationSpec usual;
  EXPECT_EQ(spec.value->houses.fan.fitted, 1);
  usual.fan = spec.value->houses.fan;
  EXPECT_EQ(spec.value->houses, usual);
  EXPECT_EQ(spec.value->steps, sim::StepScenario{});
  EXPECT_EQ(spec.value->tools[0].tool.told, sim::ToldSpec{});
  EXPECT_TRUE(spec.value->has_steps);
  EXPECT_FALSE(spec.value->has_gusts);
  EXPECT_FALSE(spec.value->has_tests);
}

TEST(LoadPopulation, ReadsRangesWindsAndTheProcedure) {
  const auto spec = load_population(shipped_population("tests.toml"));

  ASSERT_TRUE(spec) << to_text(spec.errors);
  EXPECT_THAT(spec.value->test_winds_m_s, ElementsAre(0, 3, 6, 9));
  EXPECT_EQ(spec.value->tests.procedure.id.view(), "steps-60-10");
  EXPECT_EQ(spec.value->tools[0].tool.told.temperature_k, 0.5);
  const auto ranges = population_of(kHead + "[houses]\nvolume_m3 = [200, 400]\n[steps]\n");
  ASSERT_TRUE(ranges);
  EXPECT_EQ(ranges.value->houses.volume_m3, (sim::Range{200, 400}));
}

TEST(LoadPopulation, TheComparedSettingsAreTheOwnOnesButForWhatIsSaid) {
  const auto spec =
      population_of(kHead +
                    "[regulator]\nsetpoint_weight = 0.5\n[compare]\nname = \"b\"\n"
                    "[compare.regulator]\nclosed_loop_s = 2\n[compare.told]\ndrive = \"exact\"\n"
                    "[steps]\n");

  ASSERT_TRUE(spec) << to_text(spec.errors);
  ASSERT_EQ(spec.value->tools.size(), 2U);
  const sim::NamedTool& other = spec.value->tools[1];
  EXPECT_EQ(other.name.view(), "b");
  EXPECT_EQ(other.tool.regulator.setpoint_weight, 0.5);
  EXPECT_EQ(other.tool.regulator.closed_loop_s, 2);
  EXPECT_EQ(spec.value->tools[0].tool.regulator.closed_loop_s, 1);
  EXPECT_EQ(other.tool.told.drive, sim::DriveTold::exact);
  EXPECT_EQ(spec.value->tools[0].tool.told.drive, sim::DriveTold::commissioned);
}

TEST(LoadPopulation, FindsAllMistakesInOneGo) {
  const auto spec = population_of(kHead +
                                  "[houses]\nvolume_m3 = [400, 200]\nstoreys = 2\n"
                                  "[gusts]\nwinds_m_s = [3, 3]\ntarget_pa = 500\n");

  EXPECT_FALSE(spec);
  EXPECT_THAT(brief(spec.errors), Contains(HasSubstr("4:houses.volume_m3: must be [low, high]")));
  EXPECT_THAT(brief(spec.errors), Contains(HasSubstr("5:houses.storeys")));
  EXPECT_THAT(brief(spec.errors), Contains(HasSubstr("7:gusts.winds_m_s: names a value twice")));
  EXPECT_THAT(brief(spec.errors), Contains(HasSubstr("8:gusts.target_pa")));
}

TEST(LoadPopulation, RefusesAFileThatRunsNothing) {
  EXPECT_THAT(brief(population_of(kHead).errors), ElementsAre(HasSubstr("nothing to run")));
}

TEST(LoadPopulation, RefusesADirectionThatTheProcedureDoesNotAllow) {
  const std::string procedure = std::string(LEEWARD_SOURCE_DIR) + "/config/procedures/steps-60-10.toml";
  const auto spec = population_of(kHead + "[tests]\nprocedure = \"" + procedure +
                                  "\"\nwinds_m_s = [0]\ndirection = \"both\"\n");

  EXPECT_THAT(brief(spec.errors), ElementsAre(HasSubstr("direction: is not one that the procedure allows")));
}

TEST(LoadRegulator, TakesSettingsAsARigFileWouldHoldThem) {
  const auto settings = load_regulator("closed_loop_s=2.5,setpoint_weight=0");

  ASSERT_TRUE(settings) << to_text(settings.errors);
  EXPECT_EQ(settings.value->closed_loop_s, 2.5);
  EXPECT_EQ(settings.value->setpoint_weight, 0);
  EXPECT_EQ(settings.value->drive_lag_s, control::RegulatorSpec{}.drive_lag_s);
}

TEST(LoadRegulator, RefusesWhatIsNoSettingOrOutOfRange) {
  EXPECT_THAT(brief(load_regulator("closed_lop_s=2").errors), ElementsAre(HasSubstr("closed_loop_s")));
  EXPECT_THAT(brief(load_regulator("closed_loop_s=-2").errors), ElementsAre(HasSubstr("closed_loop_s")));
  EXPECT_FALSE(load_regulator("closed_loop_s=fast"));
  EXPECT_FALSE(load_regulator("=").value.has_value());
}

TEST(LoadRegulator, TakesTheRegulatorOfARigFile) {
  const auto rig = load_regulator(std::string(LEEWARD_SOURCE_DIR) + "/config/rigs/simulated.toml");

  ASSERT_TRUE(rig) << to_text(rig.errors);
  EXPECT_EQ(*rig.value, control::RegulatorSpec{});
  EXPECT_FALSE(load_regulator("no-such-file.toml"));
}

}  // namespace
}  // namespace leeward::daemon
