#include "daemon/tune/regulator_toml.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "daemon/config/load_rig.hpp"

namespace leeward::daemon {
namespace {

control::RegulatorSpec found_regulator() {
  control::RegulatorSpec out;
  out.drive_lag_s = 0.9;
  out.tuned_pa = 50;
  out.tuned_kc_frac_per_pa = 0.005149;
  out.tuned_ti_s = 1.384;
  return out;
}

TEST(RegulatorToml, TakesThePlaceOfTheTableThatWasThere) {
  const std::string text =
      "[rig]\nname = \"a\"\n\n[ regulator ]\ndrive_lag_s = 3 # old\n# old too\n\n[limits]\nx = 1\n";

  const std::string out = rig_with_regulator(text, found_regulator(), "/a/rig.toml", "/a/new.toml");

  EXPECT_EQ(out.find("# old"), std::string::npos);
  EXPECT_EQ(out.find("[rig]\nname = \"a\"\n\n[limits]\nx = 1\n\n[regulator]\n"), 0U) << out;
  EXPECT_NE(out.find("tuned_kc_frac_per_pa = 0.005149 "), std::string::npos);
}

TEST(RegulatorToml, PathsLeadToTheSamePlacesFromAnotherFolder) {
  const std::string text =
      "[[fan]]\nfile = \"../fans/f.toml\"  # a fan\n[simulated]\nhouse=\"h.toml\"\n"
      "[listen]\ntoken_file = \"/etc/t\"\n[rig]\nname = \"file\"\n";

  const std::string out = rig_with_regulator(text, {}, "/a/rigs/rig.toml", "/b/new.toml");

  EXPECT_NE(out.find("file = \"../a/fans/f.toml\"  # a fan"), std::string::npos) << out;
  EXPECT_NE(out.find("house=\"../a/rigs/h.toml\""), std::string::npos);
  EXPECT_NE(out.find("token_file = \"/etc/t\""), std::string::npos);
  EXPECT_NE(out.find("name = \"file\""), std::string::npos);
}

TEST(RegulatorToml, EveryShippedRigReadsBackWithTheGains) {
  const std::filesystem::path folder = std::filesystem::path(testing::TempDir()) / "leeward-regulator-toml";
  std::filesystem::create_directories(folder);
  for (const char* name : {"simulated", "virtual-modbus", "other-map"}) {
    const std::string from = std::string(LEEWARD_SOURCE_DIR) + "/config/rigs/" + name + ".toml";
    const std::string to = (folder / (std::string(name) + ".toml")).string();
    const auto before = load_rig(from);
    ASSERT_TRUE(before) << to_text(before.errors);

    std::ofstream(to) << rig_with_regulator(before.value->source_text, found_regulator(), from, to);
    const auto after = load_rig(to);

    ASSERT_TRUE(after) << to_text(after.errors);
    EXPECT_EQ(after.value->engine.regulator, found_regulator());
    EXPECT_EQ(after.value->engine.limits, before.value->engine.limits);
    EXPECT_EQ(after.value->engine.fans, before.value->engine.fans);
    EXPECT_EQ(after.value->simulated.house, before.value->simulated.house);
  }
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace leeward::daemon
