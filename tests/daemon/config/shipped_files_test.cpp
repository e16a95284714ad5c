/// The files in config/ as they go out.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <random>

#include "daemon/config/check_file.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_building.hpp"
#include "daemon/config/load_fan.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/config/load_procedure.hpp"
#include "daemon/config/load_rig.hpp"
#include "sim/house_truth.hpp"
#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

std::string shipped(const std::string& name) { return std::string(LEEWARD_SOURCE_DIR) + "/config/" + name; }

std::vector<std::string> shipped_files() {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(shipped("")))
    if (entry.path().extension() == ".toml") files.push_back(entry.path().string());
  return files;
}

TEST(ShippedFiles, AreCleanWithoutAWarning) {
  const std::vector<std::string> files = shipped_files();

  EXPECT_GE(files.size(), 14U);
  for (const std::string& file : files) {
    const CheckReport report = check_file(file);
    EXPECT_NE(report.kind, FileKind::unknown) << file;
    EXPECT_TRUE(report.errors.empty()) << to_text(report.errors);
    EXPECT_TRUE(report.warnings.empty()) << to_text(report.warnings);
  }
}

TEST(ShippedFiles, AreOfTheKindOfTheirFolder) {
  for (const std::string& file : shipped_files()) {
    const std::string folder = std::filesystem::path(file).parent_path().filename();
    const std::string kind = file_kind_text(check_file(file).kind);
    EXPECT_EQ(kind, folder.substr(0, folder.size() - 1) + " file") << file;
  }
}

TEST(ShippedFiles, HoldTheProceduresThatHaveAgreedNames) {
  EXPECT_THAT(list_procedures(shipped("")),
              testing::IsSupersetOf({"astm-e1827-single", "astm-e1827-two-point", "astm-e779", "cgsb-149-10",
                                     "iso-9972", "iso-9972-method-1", "iso-9972-method-2",
                                     "iso-9972-method-3", "large-building-75", "resnet-380-multi",
                                     "resnet-380-single", "single-point", "steady", "steps-60-10"}));
}

TEST(DemoFan, IsTheSameInFileAndSimulator) {
  const auto fan = load_fan(shipped("fans/demo-fan.toml"));
  ASSERT_TRUE(fan);
  const control::FanSpec simulated = sim::demo_fan();

  EXPECT_EQ(fan.value->name, simulated.name);
  EXPECT_EQ(fan.value->density_kg_m3, simulated.density_kg_m3);
  EXPECT_EQ(fan.value->restrictions, simulated.restrictions);
  ASSERT_EQ(fan.value->curve.size(), simulated.curve.size());
  for (std::size_t i = 0; i < simulated.curve.size(); ++i) {
    EXPECT_EQ(fan.value->curve[i].flow_m3_s, simulated.curve[i].flow_m3_s);
    EXPECT_NEAR(fan.value->curve[i].rise_pa, simulated.curve[i].rise_pa, 1e-9);  // absolute: binary fractions
  }
}

TEST(DemoFan, ReadsItsFreeFlowInsideTheOpenFansRange) {
  const auto fan = load_fan(shipped("fans/demo-fan.toml"));
  ASSERT_TRUE(fan);
  const control::RestrictionSpec& open = fan.value->restrictions[0];

  EXPECT_EQ(open.name.view(), "bore-500");
  EXPECT_NEAR(open.k_m3_s_pam * std::sqrt(150.0), 2.5, 0.01);  // computed here
  EXPECT_GE(open.k_m3_s_pam * std::sqrt(open.signal_max_pa),
            std::sqrt(300 / 45.0) - 0.01);  // 300 - 45 q^2 = 0
}

TEST(DemoFan, HasNoGapBetweenRestrictions) {
  const auto fan = load_fan(shipped("fans/demo-fan.toml"));
  ASSERT_TRUE(fan);

  for (std::size_t i = 1; i < fan.value->restrictions.size(); ++i) {
    const control::RestrictionSpec& larger = fan.value->restrictions[i - 1];
    const control::RestrictionSpec& smaller = fan.value->restrictions[i];
    EXPECT_GT(smaller.k_m3_s_pam * std::pow(smaller.signal_max_pa, smaller.m),
              larger.k_m3_s_pam * std::pow(larger.signal_min_pa, larger.m));
  }
}

TEST(DemoHouse, NeedsOneChangeFromTheOpenFanAndThenNoMore) {
  const auto house = load_house(shipped("houses/demo-house.toml"));
  const auto iso = load_procedure(shipped("procedures/iso-9972.toml"));
  ASSERT_TRUE(house && iso);
  const control::FanSpec& fan = house.value->fans[0].fan;

  EXPECT_EQ(fan.restrictions[static_cast<std::size_t>(fan.fitted)].name.view(), "bore-500");
  EXPECT_NEAR(sim::true_q50_m3_s(*house.value), 0.37, 0.001);
  for (const double pa : iso.value->stations_pa) {
    const double flow = sim::true_flow_at(*house.value, pa);
    const auto signal = [&](std::size_t i) { return std::pow(flow / fan.restrictions[i].k_m3_s_pam, 2); };
    EXPECT_LT(signal(0), fan.restrictions[0].signal_min_pa) << pa;
    EXPECT_GT(signal(1), 1.5 * fan.restrictions[1].signal_min_pa) << pa;
    EXPECT_LT(signal(1), fan.restrictions[1].signal_max_pa) << pa;
  }
}

TEST(DemoHouse, IsTheBuildingOfTheDemoBuildingFile) {
  const auto house = load_house(shipped("houses/demo-house.toml"));
  const auto file = load_building(shipped("buildings/demo-building.toml"));
  ASSERT_TRUE(house && file);

  EXPECT_EQ(file.value->building.volume_m3, house.value->volume_m3);
  EXPECT_EQ(file.value->building.envelope_area_m2, house.value->envelope_area_m2);
  EXPECT_EQ(file.value->building.floor_area_m2, house.value->floor_area_m2);
  EXPECT_EQ(file.value->building.height_m, house.value->height_m);
  EXPECT_EQ(file.value->conditions.indoor_c, house.value->indoor_c);
  EXPECT_EQ(file.value->conditions.outdoor_c, house.value->outdoor_c);
  EXPECT_EQ(file.value->conditions.altitude_m, house.value->altitude_m);
  EXPECT_EQ(file.value->conditions.wind_m_s, house.value->wind.mean_m_s);
}

TEST(ShippedHouses, LeakAsTheirFirstLinesSay) {
  const auto q50 = [](const char* name) { return sim::true_q50_m3_s(*load_house(shipped(name)).value); };

  EXPECT_NEAR(q50("houses/tight-house.toml"), 0.0764, 0.0005);
  EXPECT_NEAR(q50("houses/windy-row-house.toml"), 0.333, 0.002);
  EXPECT_NEAR(q50("houses/mountain-house.toml"), 0.25, 0.002);
  EXPECT_NEAR(q50("houses/old-farmhouse.toml"), 1.467, 0.01);
  EXPECT_NEAR(q50("houses/too-leaky-hall.toml"), 2.75, 0.02);
}

TEST(Iso9972, KeepsItsOwnLimits) {
  const auto iso = load_procedure(shipped("procedures/iso-9972.toml"));
  ASSERT_TRUE(iso);
  const auto& stations = iso.value->stations_pa;

  // Limits of ISO 9972:2015 as marked in the file.
  EXPECT_GE(stations.size(), 5U);
  for (std::size_t i = 1; i < stations.size(); ++i) EXPECT_LE(std::abs(stations[i] - stations[i - 1]), 10);
  EXPECT_GE(stations[0], 50);
  EXPECT_GE(stations.back(), 5 * 5.0);  // five times the largest zero-flow pressure that passes
  EXPECT_GE(iso.value->baseline_s, 30);
  EXPECT_FALSE(iso.value->viscosity_correction);
  for (const control::CheckSpec& check : iso.value->checks)
    EXPECT_EQ(check.mark == control::Mark::source, !check.source.empty());
}

TEST(Steady, IsInsideIso9972AndStricter) {
  const auto iso = load_procedure(shipped("procedures/iso-9972.toml"));
  const auto steady = load_procedure(shipped("procedures/steady.toml"));
  ASSERT_TRUE(iso && steady);

  EXPECT_EQ(steady.value->stations_pa, iso.value->stations_pa);
  EXPECT_EQ(steady.value->directions, control::DirectionRule::both);
  EXPECT_EQ(steady.value->baseline_s, 30);
  EXPECT_EQ(steady.value->baseline_most_s, 60);
  EXPECT_EQ(steady.value->baseline_se_pa, 0.1);
  EXPECT_EQ(steady.value->station_average_s, 8);
  EXPECT_EQ(steady.value->station_most_s, 20);
  EXPECT_EQ(steady.value->station_se_frac, 0.003);
  ASSERT_GT(steady.value->checks.size(), iso.value->checks.size());
  for (std::size_t i = 0; i < iso.value->checks.size(); ++i)
    EXPECT_EQ(steady.value->checks[i], iso.value->checks[i]) << i;
}

TEST(StepsProcedure, IsEvenlySpaced) {
  const auto steps = load_procedure(shipped("procedures/steps-60-10.toml"));
  ASSERT_TRUE(steps);

  ASSERT_EQ(steps.value->stations_pa.size(), 8U);
  for (std::size_t i = 0; i < 8; ++i)
    EXPECT_NEAR(steps.value->stations_pa[i], 60 - 50.0 * static_cast<double>(i) / 7, 0.05);
  EXPECT_EQ(steps.value->baseline_most_s, 60);
  EXPECT_EQ(steps.value->station_most_s, 20);
}

TEST(ShippedProcedures, SayWhereEachLimitIsKnownFrom) {
  for (const std::string& name : list_procedures(shipped(""))) {
    const auto p = load_named_procedure(name, shipped(""));
    ASSERT_TRUE(p) << to_text(p.errors);
    EXPECT_FALSE(p.value->checks.empty()) << name;
    for (const control::CheckSpec& check : p.value->checks)
      EXPECT_EQ(check.mark == control::Mark::source, !check.source.empty()) << name << check.clause.view();
  }
}

TEST(ShippedProcedures, AskAboutWhatCanHurt) {
  for (const std::string& name : list_procedures(shipped(""))) {
    const auto p = load_named_procedure(name, shipped(""));
    ASSERT_TRUE(p) << to_text(p.errors);
    std::string all;
    for (const control::Line& line : p.value->checklist) all += std::string(line.view()) + "\n";
    for (const char* word :
         {"burning", "ash", "asbestos", "mould", "Fragile", "pets", "inside", "traps", "guard", "codes"})
      EXPECT_THAT(all, testing::HasSubstr(word)) << name;
    std::string after;
    for (const control::Line& line : p.value->restore) after += std::string(line.view()) + "\n";
    for (const char* word :
         {"seal", "Dampers", "appliances", "competent", "traps", "Inside doors", "taken out"})
      EXPECT_THAT(after, testing::HasSubstr(word)) << name;
  }
}

TEST(VirtualRigFile, HasTheAgreedRegisterMap) {
  const auto rig = load_rig(shipped("rigs/virtual-modbus.toml"));
  ASSERT_TRUE(rig);

  EXPECT_EQ(rig.value->modbus.unit, 1);
  std::vector<std::string> map;
  for (const ChannelSpec& c : rig.value->modbus.channels)
    map.push_back(c.name + " " + std::to_string(static_cast<int>(c.table)) + " " + std::to_string(c.address));
  EXPECT_THAT(map, ElementsAre("building_pressure 0 0", "fan1_signal 0 2", "fan1_speed 0 4", "indoor_c 0 6",
                               "outdoor_c 0 8", "sample_counter 0 10", "fan1_demand 1 0", "fan1_timeout 1 10",
                               "fan1_enable 2 0"));
}

/// The files with one key misspelt, each in its turn; a table that is not in use may say what it likes.
TEST(CheckFile, TellsOneMisspeltKeyAsOneError) {
  const config_test::TempFolder folder;
  std::filesystem::copy(shipped(""), folder.path("config"), std::filesystem::copy_options::recursive);
  for (const std::string& file : shipped_files()) {
    const std::string text = config_test::read_all(file);
    const std::string name = "config/" + std::filesystem::relative(file, shipped("")).string();
    for (std::size_t line = 0; line < text.size(); line = text.find('\n', line) + 1) {
      const std::size_t end = text.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789_", line);
      if (end == line || text.compare(end, 3, " = ") != 0) continue;
      const std::string path = folder.write(name, text.substr(0, end) + "x" + text.substr(end));
      const CheckReport report = check_file(path);
      EXPECT_LE(report.errors.size(), 1U) << to_text(report.errors);
      EXPECT_TRUE(report.warnings.empty()) << to_text(report.errors) << to_text(report.warnings);
    }
    folder.write(name, text);
  }
}

std::string damaged(std::string text, std::mt19937& rng) {
  const std::string bytes = "[]{}=\"'#.,\n\\_-0e9xn\xC3\x01\x7F";
  for (std::size_t k = 0; k <= rng() % 3; ++k) {
    const std::size_t at = rng() % text.size();
    if (rng() % 2 == 0)
      text[at] = bytes[rng() % bytes.size()];
    else
      text.erase(at, 1 + rng() % 20);
  }
  return text;
}

TEST(CheckFile, SurvivesSmallDamageToEveryFile) {
  const config_test::TempFolder folder;
  std::filesystem::copy(shipped(""), folder.path("config"), std::filesystem::copy_options::recursive);
  std::mt19937 rng(20240501);
  int refused = 0;
  for (const std::string& file : shipped_files()) {
    const std::string original = config_test::read_all(file);
    const std::string name = "config/" + std::filesystem::relative(file, shipped("")).string();
    for (int i = 0; i < 150; ++i) {
      const CheckReport report = check_file(folder.write(name, damaged(original, rng)));
      refused += report.errors.empty() ? 0 : 1;
      for (const FileError& error : report.errors) EXPECT_FALSE(error.text.empty());
    }
    folder.write(name, original);
  }
  EXPECT_GT(refused, 500);
}

}  // namespace
}  // namespace leeward::daemon
