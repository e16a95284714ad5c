#include "daemon/config/config_directory.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using testing::ElementsAre;

/// The environment as it was, whatever a test does to it.
class ConfigDirectory : public testing::Test {
 protected:
  ConfigDirectory() {
    if (const char* value = std::getenv(kVariable)) before_ = value;
    ::unsetenv(kVariable);
  }
  ~ConfigDirectory() override {
    if (before_)
      ::setenv(kVariable, before_->c_str(), 1);
    else
      ::unsetenv(kVariable);
  }
  static constexpr const char* kVariable = "LEEWARD_CONFIG_DIR";
  std::optional<std::string> before_;
  config_test::TempFolder folder_;
};

TEST_F(ConfigDirectory, IsTheOneThatTheEnvironmentNames) {
  ::setenv(kVariable, "/some/where", 1);

  EXPECT_EQ(default_config_directory(), "/some/where");
}

TEST_F(ConfigDirectory, IsFoundAboveTheProgramInASourceTree) {
  folder_.write("config/procedures/a.toml", "");
  folder_.write("build/release/x", "");

  EXPECT_EQ(config_directory_above(folder_.path("build/release")), folder_.path("config"));
}

TEST_F(ConfigDirectory, IsFoundBesideAnInstalledProgram) {
  folder_.write("share/leeward/procedures/a.toml", "");
  folder_.write("bin/x", "");

  EXPECT_EQ(config_directory_above(folder_.path("bin")), folder_.path("share/leeward"));
}

TEST_F(ConfigDirectory, IsNoFolderWithoutProcedures) {
  folder_.write("config/other/a.toml", "");

  EXPECT_NE(config_directory_above(folder_.path("config/other")), folder_.path("config"));
}

TEST_F(ConfigDirectory, ListsProceduresSorted) {
  folder_.write("procedures/b.toml", "");
  folder_.write("procedures/a.toml", "");
  folder_.write("procedures/notes.txt", "");
  folder_.write("procedures/.hidden.toml", "");
  folder_.write("procedures/deep/c.toml", "");

  EXPECT_THAT(list_procedures(folder_.path("")), ElementsAre("a", "b"));
  EXPECT_THAT(list_procedures(folder_.path("none")), testing::IsEmpty());
}

TEST_F(ConfigDirectory, FindsAProcedureByItsBareNameOnly) {
  folder_.write("procedures/a.toml", "");
  folder_.write("secret.toml", "");

  EXPECT_EQ(find_procedure("a", folder_.path("")), folder_.path("procedures/a.toml"));
  EXPECT_EQ(find_procedure("b", folder_.path("")), std::nullopt);
  for (const char* bad : {"../secret", "", ".", "..", "a/../a", "/etc/passwd", "a\n"})
    EXPECT_EQ(find_procedure(bad, folder_.path("")), std::nullopt) << bad;
}

TEST_F(ConfigDirectory, SaysWhichProceduresThereAre) {
  folder_.write("procedures/a.toml", "");
  folder_.write("procedures/b.toml", "");

  const auto none = load_named_procedure("c", folder_.path(""));

  EXPECT_FALSE(none);
  EXPECT_EQ(to_text(none.errors), "c: no procedure of this name; there is a or b");
}

TEST_F(ConfigDirectory, SaysWhenThereAreNoProceduresAtAll) {
  EXPECT_THAT(to_text(load_named_procedure("c", "").errors), testing::HasSubstr("LEEWARD_CONFIG_DIR"));
}

}  // namespace
}  // namespace leeward::daemon
