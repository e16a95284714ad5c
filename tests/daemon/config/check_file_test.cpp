#include "daemon/config/check_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

std::vector<std::string> check_errors(const std::string& text) {
  const config_test::TempFolder folder;
  return config_test::brief(check_file(folder.write("f.toml", text)).errors);
}

TEST(CheckFile, RecognisesAFileByItsTables) {
  const config_test::TempFolder folder;
  const auto kind = [&](const std::string& text) { return check_file(folder.write("f.toml", text)).kind; };

  EXPECT_EQ(kind("[rig]\n[[fan]]\n"), FileKind::rig);
  EXPECT_EQ(kind("[house]\n[[fan]]\n"), FileKind::house);
  EXPECT_EQ(kind("[fan]\n"), FileKind::fan);
  EXPECT_EQ(kind("[procedure]\n"), FileKind::procedure);
  EXPECT_EQ(kind("[building]\n"), FileKind::building);
  EXPECT_EQ(kind("[drive]\n"), FileKind::drive);
  EXPECT_EQ(kind("[population]\n[rig]\n[[fan]]\n"), FileKind::population);
  EXPECT_STREQ(file_kind_text(FileKind::rig), "rig file");
}

TEST(CheckFile, SaysWhatItKnowsWhenItRecognisesNothing) {
  EXPECT_THAT(
      check_errors("[colours]\n"),
      ElementsAre(
          "0:: not a file of ours: no table population, rig, house, procedure, building, targets, fan or "
          "drive"));
  EXPECT_THAT(check_errors(""), ElementsAre(HasSubstr("not a file of ours")));
  EXPECT_THAT(check_errors("\n[bulding]\n"), ElementsAre(HasSubstr("2:bulding: not a file of ours")));
  EXPECT_THAT(check_errors("\n[bulding]\n"), ElementsAre(HasSubstr("did you mean [building]?")));
}

TEST(CheckFile, GivesWarningsOnceThereAreNoErrors) {
  const config_test::TempFolder folder;
  const auto check = [&folder](const std::string& text) { return check_file(folder.write("f.toml", text)); };

  const CheckReport bad = check("[building]\nvolume = 400\n[conditions]\nindoor_c = 20\noutdoor_c = 4\n");
  const CheckReport good = check("[building]\n[conditions]\nindoor_c = 20\noutdoor_c = 4\n");

  EXPECT_THAT(config_test::brief(bad.errors), ElementsAre(HasSubstr("building.volume: unknown key")));
  EXPECT_THAT(bad.warnings, testing::IsEmpty());
  EXPECT_THAT(config_test::brief(good.warnings),
              ElementsAre(HasSubstr("no n50"), HasSubstr("sea level is assumed")));
}

TEST(CheckFile, OfARigWithAMisspeltTableSaysWhichWasMeant) {
  EXPECT_THAT(check_errors("[rigg]\n[[fan]]\n"), ElementsAre(HasSubstr("did you mean [rig]?")));
}

TEST(CheckFile, RefusesADirectory) {
  const config_test::TempFolder folder;

  EXPECT_THAT(config_test::brief(check_file(folder.path("")).errors),
              ElementsAre("0:: is a directory; name a .toml file in it"));
}

TEST(CheckFile, TellsASyntaxErrorOnce) { EXPECT_THAT(check_errors("[rig]\nname = \n"), testing::SizeIs(1)); }

}  // namespace
}  // namespace leeward::daemon
