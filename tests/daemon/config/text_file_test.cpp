#include "daemon/config/text_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

std::string reading_fault(const std::string& path) {
  Findings findings(path);
  const auto text = read_text_file(path, findings);
  EXPECT_FALSE(text.has_value());
  return to_text(findings.errors);
}

std::string text_fault(std::string_view text) {
  Findings findings("f.toml");
  EXPECT_FALSE(check_text(text, findings));
  return to_text(findings.errors);
}

bool text_passes(std::string_view text) {
  Findings findings("f.toml");
  return check_text(text, findings) && findings.errors.empty();
}

TEST(ReadTextFile, GivesTheBytesOfAFile) {
  const config_test::TempFolder folder;
  const std::string path = folder.write("a.toml", "a = 1\r\n\tb = \"\xC3\xA9\"\n");

  Findings findings(path);
  EXPECT_EQ(read_text_file(path, findings), "a = 1\r\n\tb = \"\xC3\xA9\"\n");
  EXPECT_TRUE(findings.errors.empty());
}

TEST(ReadTextFile, RefusesADirectoryAsOne) {
  const config_test::TempFolder folder;

  EXPECT_EQ(reading_fault(folder.path("")), folder.path("") + ": is a directory; name a .toml file in it");
}

TEST(ReadTextFile, RefusesAMissingFileAsOne) {
  const config_test::TempFolder folder;

  EXPECT_EQ(reading_fault(folder.path("none.toml")), folder.path("none.toml") + ": no such file");
}

TEST(ReadTextFile, RefusesAPipeWithoutWaitingForIt) {
  const config_test::TempFolder folder;
  const std::string path = folder.path("pipe.toml");
  ASSERT_EQ(::mkfifo(path.c_str(), 0600), 0);

  EXPECT_THAT(reading_fault(path), testing::HasSubstr("is not a regular file"));
}

TEST(ReadTextFile, RefusesADevice) {
  EXPECT_THAT(reading_fault("/dev/zero"), testing::HasSubstr("is not a regular file"));
}

TEST(ReadTextFile, RefusesMoreThanAMegabyte) {
  const config_test::TempFolder folder;
  const std::string just_fits(kMostFileBytes, '\n');

  Findings findings("f");
  EXPECT_TRUE(read_text_file(folder.write("fits.toml", just_fits), findings).has_value());
  EXPECT_THAT(reading_fault(folder.write("large.toml", just_fits + "\n")),
              testing::HasSubstr("larger than 1 MB"));
}

TEST(CheckText, NamesTheControlByteAndItsPlace) {
  EXPECT_EQ(text_fault("a = 1\n[\x01]\n"),
            "f.toml:2:2: control byte 0x01; only text, tabs and line ends are allowed");
  EXPECT_THAT(text_fault(std::string_view("a\0b", 3)), testing::HasSubstr("1:2: control byte 0x00"));
  EXPECT_THAT(text_fault("a\x7F"), testing::HasSubstr("control byte 0x7F"));
}

TEST(CheckText, TakesEveryLengthOfUtf8) {
  EXPECT_TRUE(text_passes("a\xC2\x80\xDF\xBF"));
  EXPECT_TRUE(text_passes("\xE0\xA0\x80\xED\x9F\xBF\xEE\x80\x80\xEF\xBF\xBF"));
  EXPECT_TRUE(text_passes("\xF0\x90\x80\x80\xF4\x8F\xBF\xBF"));
}

TEST(CheckText, RefusesWhatIsNotUtf8) {
  // Lone tail, overlong forms, surrogate, beyond U+10FFFF, cut at the end (Unicode standard, table of
  // well-formed byte sequences; from memory).
  for (const std::string_view bad :
       {"\x80", "\xC0\x80", "\xC1\xBF", "\xE0\x9F\xBF", "\xF0\x8F\xBF\xBF", "\xED\xA0\x80",
        "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xE2\x82", "\xC3", "\xFF"})
    EXPECT_THAT(text_fault("ok\n" + std::string(bad)), testing::HasSubstr("f.toml:2:1: byte 0x"));
}

}  // namespace
}  // namespace leeward::daemon
