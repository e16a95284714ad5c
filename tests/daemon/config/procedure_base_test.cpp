// Procedures that build on another file.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/config/load_procedure.hpp"
#include "tests/daemon/config/config_files.hpp"
#include "tests/daemon/config/procedure_text.hpp"

namespace leeward::daemon {
namespace {

using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;

const std::string kBaseText = R"([procedure]
title = "A test"
[baseline]
duration_s = 45
[stations]
pressures_pa = [55, 40, 25.5]
[[check]]
kind = "lowest_station"
low = 10
severity = "deviation"
clause = "lowest"
mark = "memory"
)" + std::string(config_test::kProcedureEnding);

TEST(LoadProcedure, TakesFromAnotherFileWhatItDoesNotSay) {
  const config_test::TempFolder folder;
  folder.write("base.toml", kBaseText);

  const auto p =
      load_procedure(folder.write("mine.toml",
                                  "[procedure]\nlike = \"base.toml\"\ntitle = \"Mine\"\n"
                                  "[stations]\npressures_pa = [50, 40, 30]\n"
                                  "[[check]]\nkind = \"r2_min\"\nlow = 0.99\nseverity = \"advice\"\n"
                                  "clause = \"ours\"\nmark = \"memory\"\n"
                                  "[[checklist]]\ntext = \"Vents sealed.\"\n"));

  ASSERT_TRUE(p) << to_text(p.errors);
  EXPECT_EQ(p.value->id.view(), "mine");
  EXPECT_EQ(p.value->title.view(), "Mine");
  EXPECT_EQ(p.value->baseline_s, 45);
  EXPECT_THAT(p.value->stations_pa, ElementsAre(50, 40, 30));
  EXPECT_EQ(p.value->checks.size(), 3U);
  EXPECT_EQ(p.value->checks[2].kind, control::CheckKind::r2_min);
  EXPECT_THAT(p.value->checklist,
              ElementsAre(control::Line("Windows closed."), control::Line("Vents sealed.")));
}

TEST(LoadProcedure, TakesTheListsOfAnotherFileAlone) {
  const config_test::TempFolder folder;
  folder.write("base.toml", kBaseText);

  const auto p =
      load_procedure(folder.write("mine.toml",
                                  "[procedure]\nlists_like = \"base.toml\"\ntitle = \"Mine\"\n"
                                  "[baseline]\nduration_s = 30\n[stations]\npressures_pa = [50, 40, 30]\n"));

  ASSERT_TRUE(p) << to_text(p.errors);
  EXPECT_EQ(p.value->pressure_max_pa, 75);
  EXPECT_TRUE(p.value->checks.empty());
  EXPECT_EQ(p.value->restore.size(), 2U);
}

TEST(LoadProcedure, RefusesFilesThatNameEachOther) {
  const config_test::TempFolder folder;
  const std::string text = "[procedure]\ntitle = \"t\"\nlike = \"";

  folder.write("a.toml", text + "b.toml\"\n");
  const auto p = load_procedure(folder.write("b.toml", text + "a.toml\"\n"));

  ASSERT_FALSE(p);
  EXPECT_THAT(to_text(p.errors), HasSubstr("in a circle"));
}

TEST(LoadProcedure, TellsOfTheFileThatItBuildsOn) {
  const config_test::TempFolder folder;
  folder.write("base.toml", with(kBaseText, "duration_s = 45", "duration_s = 1"));

  const auto broken =
      load_procedure(folder.write("mine.toml", "[procedure]\nlike = \"base.toml\"\ntitle = \"Mine\"\n"));
  const auto missing =
      load_procedure(folder.write("other.toml", "[procedure]\nlike = \"no.toml\"\ntitle = \"Mine\"\n"));

  EXPECT_THAT(to_text(broken.errors), HasSubstr("base.toml:4"));
  EXPECT_THAT(to_text(missing.errors), HasSubstr("other.toml:2"));
}

}  // namespace
}  // namespace leeward::daemon
