#include "daemon/config/toml_reader.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>

#include "daemon/config/parse_toml.hpp"
#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

/// Reads the text as one table and gives "line:key: text" of all that was found.
std::vector<std::string> reader_errors(const std::string& text,
                                       const std::function<void(TableReader&)>& read) {
  Findings findings("f.toml");
  if (const auto root = parse_toml(text, findings)) {
    TableReader reader(*root, "", findings);
    read(reader);
    reader.finish();
  }
  findings.close();
  return config_test::brief(findings.errors);
}

constexpr NumberRange kReaderHz{1, 50, "Hz"};

std::vector<std::string> number_errors(const std::string& text, double& out) {
  return reader_errors(text, [&out](TableReader& r) { r.number("sample_hz", out, kReaderHz); });
}

TEST(TableReader, TakesAnIntegerWhereANumberIsWanted) {
  double value = 0;

  EXPECT_THAT(number_errors("sample_hz = 10", value), IsEmpty());
  EXPECT_EQ(value, 10.0);
  EXPECT_THAT(number_errors("sample_hz = 12.5", value), IsEmpty());
  EXPECT_EQ(value, 12.5);
}

TEST(TableReader, TakesBothEndsOfARange) {
  double value = 0;

  EXPECT_THAT(number_errors("sample_hz = 1", value), IsEmpty());
  EXPECT_THAT(number_errors("sample_hz = 50.0", value), IsEmpty());
}

TEST(TableReader, RefusesANumberOutOfBoundsAndLeavesTheTarget) {
  double value = 7;

  EXPECT_THAT(number_errors("\nsample_hz = 50.1", value),
              ElementsAre("2:sample_hz: must be 1 to 50 Hz, is 50.1"));
  EXPECT_EQ(value, 7);
}

TEST(TableReader, RefusesNanAndInfinity) {
  double value = 7;

  EXPECT_THAT(number_errors("sample_hz = nan", value),
              ElementsAre("1:sample_hz: must be 1 to 50 Hz, is nan"));
  EXPECT_THAT(number_errors("sample_hz = inf", value),
              ElementsAre("1:sample_hz: must be 1 to 50 Hz, is inf"));
  EXPECT_THAT(number_errors("sample_hz = -inf", value),
              ElementsAre("1:sample_hz: must be 1 to 50 Hz, is -inf"));
  EXPECT_EQ(value, 7);
}

TEST(TableReader, RefusesAWrongTypeAndSaysWhatIsAllowed) {
  double value = 7;

  EXPECT_THAT(number_errors("sample_hz = \"10\"", value),
              ElementsAre("1:sample_hz: must be a number, 1 to 50 Hz, is a text"));
  EXPECT_THAT(number_errors("sample_hz = true", value),
              ElementsAre("1:sample_hz: must be a number, 1 to 50 Hz, is true or false"));
  EXPECT_THAT(number_errors("sample_hz = 2024-01-01", value),
              ElementsAre("1:sample_hz: must be a number, 1 to 50 Hz, is a date or time"));
}

TEST(TableReader, RefusesAnUnknownKeyWithTheNearestKnownOne) {
  double value = 7;

  EXPECT_THAT(number_errors("sampel_hz = 10", value),
              ElementsAre("1:sampel_hz: unknown key; did you mean sample_hz?"));
  EXPECT_THAT(number_errors("\n\n  colour = 3", value),
              ElementsAre("3:colour: unknown key; known here: sample_hz"));
}

TEST(TableReader, RecognisesAKeyWithoutItsUnit) {
  double value = 7;

  EXPECT_THAT(number_errors("sample = 10", value),
              ElementsAre("1:sample: unknown key; did you mean sample_hz: say the unit"));
}

TEST(TableReader, SaysAMissingKeyOnceWhenItsMisspellingIsThere) {
  const auto read = [](TableReader& r) {
    double x = 0;
    r.number("volume_m3", x, {5, 100, "m3"}, Need::required);
    r.number("height_m", x, {1, 10, "m"}, Need::required);
  };

  EXPECT_THAT(reader_errors("volume = 20", read),
              ElementsAre("1:volume: unknown key; did you mean volume_m3: say the unit",
                          "1:height_m: missing: a number, 1 to 10 m"));
}

TEST(TableReader, ReportsAllErrorsOfAFileInTheOrderOfItsLines) {
  const auto read = [](TableReader& r) {
    double x = 0;
    int i = 0;
    r.number("b_pa", x, {0, 1, "Pa"});
    r.integer("a", i, {1, 5, ""});
  };

  EXPECT_THAT(reader_errors("a = 9\nb_pa = 2\nc = 3", read),
              ElementsAre("1:a: must be 1 to 5, is 9", "2:b_pa: must be 0 to 1 Pa, is 2",
                          "3:c: unknown key; known here: a or b_pa"));
}

TEST(TableReader, RefusesAFractionWhereAWholeNumberIsWanted) {
  int port = 7;
  const auto read = [&](TableReader& r) { r.integer("port", port, {1, 65535, ""}); };

  EXPECT_THAT(reader_errors("port = 1502.0", read),
              ElementsAre("1:port: must be a whole number, 1 to 65535, is a number"));
  EXPECT_THAT(reader_errors("port = 65536", read), ElementsAre("1:port: must be 1 to 65535, is 65536"));
  EXPECT_EQ(port, 7);
}

TEST(TableReader, RefusesTextThatIsEmptyTooLongOrHoldsControlCharacters) {
  control::FixedText<4> text = "old";
  const auto read = [&](TableReader& r) { r.text("name", text); };

  EXPECT_THAT(reader_errors("name = \"abcd\"", read), IsEmpty());
  EXPECT_EQ(text.view(), "abcd");
  EXPECT_THAT(reader_errors("name = \"abcde\"", read),
              ElementsAre("1:name: must be a text of 1 to 4 bytes, has 5"));
  EXPECT_THAT(reader_errors("name = \"\"", read),
              ElementsAre("1:name: must be a text of 1 to 4 bytes, has 0"));
  EXPECT_THAT(reader_errors("name = \"a\\u0000\"", read),
              ElementsAre("1:name: must be one line of text without control characters"));
  EXPECT_THAT(reader_errors("name = 3", read),
              ElementsAre("1:name: must be a text in quotation marks, is a whole number"));
  EXPECT_EQ(text.view(), "abcd");
}

TEST(TableReader, RefusesAWordThatIsNoChoice) {
  constexpr std::array<Choice<int>, 2> choices{{{"one", 1}, {"both", 2}}};
  int value = 0;
  const auto read = [&](TableReader& r) { r.choice<int>("directions", value, choices); };

  EXPECT_THAT(reader_errors("directions = \"both\"", read), IsEmpty());
  EXPECT_EQ(value, 2);
  EXPECT_THAT(reader_errors("directions = \"up\"", read),
              ElementsAre("1:directions: must be one or both, is \"up\""));
  EXPECT_THAT(reader_errors("directions = 1", read),
              ElementsAre("1:directions: must be one or both, in quotation marks, is a whole number"));
}

TEST(TableReader, RefusesAListWithTheWrongCountOrEntry) {
  std::vector<double> values;
  const auto read = [&](TableReader& r) { r.numbers("p_pa", values, {1, 200, "Pa"}, 1, 3); };

  EXPECT_THAT(reader_errors("p_pa = [60, 50.5]", read), IsEmpty());
  EXPECT_THAT(values, ElementsAre(60, 50.5));
  EXPECT_THAT(reader_errors("p_pa = []", read),
              ElementsAre("1:p_pa: must be an array of 1 to 3 numbers, has 0"));
  EXPECT_THAT(
      reader_errors("p_pa = [60, nan,\n 300]", read),
      ElementsAre("1:p_pa[1]: must be 1 to 200 Pa, is nan", "2:p_pa[2]: must be 1 to 200 Pa, is 300"));
}

TEST(TableReader, NamesTheEntryOfAnArrayOfTables) {
  const auto read = [](TableReader& r) {
    for (TableReader& entry : r.tables("check", 2)) {
      double x = 0;
      entry.number("low", x, {0, 1, ""}, Need::required);
      entry.finish();
    }
  };

  EXPECT_THAT(reader_errors("[[check]]\nlow = 1\n[[check]]\nlow = 2", read),
              ElementsAre("4:check[1].low: must be 0 to 1, is 2"));
  EXPECT_THAT(reader_errors("[[check]]\n[[check]]\n[[check]]\n", read),
              ElementsAre("1:check: must be an array of 0 to 2 tables, has 3"));
  EXPECT_THAT(reader_errors("[check]\nlow = 1", read),
              ElementsAre("1:check: must be written [[check]], one for each entry"));
}

TEST(TableReader, StopsCollectingAtANumberThatAPersonCanRead) {
  std::string text;
  for (int i = 0; i < 20000; ++i) text += "k" + std::to_string(i) + " = 1\n";

  const auto errors = reader_errors(text, [](TableReader&) {});

  EXPECT_EQ(errors.size(), Findings::kMostErrors + 1);
}

TEST(ParseToml, ReportsTheFirstSyntaxErrorWithItsPlace) {
  Findings findings("f.toml");

  EXPECT_FALSE(parse_toml("a = 1\nb =\nc = 3\n", findings).has_value());
  ASSERT_EQ(findings.errors.size(), 1U);
  EXPECT_EQ(findings.errors[0].line, 2);
  EXPECT_EQ(findings.errors[0].column, 4);
  EXPECT_FALSE(findings.errors[0].text.empty());
}

TEST(ParseToml, RefusesAKeyGivenTwice) {
  Findings findings("f.toml");

  EXPECT_FALSE(parse_toml("a = 1\na = 2\n", findings).has_value());
  ASSERT_EQ(findings.errors.size(), 1U);
  EXPECT_EQ(findings.errors[0].line, 2);
}

TEST(ParseToml, RefusesControlBytesBeforeTheParserSeesThem) {
  Findings findings("f.toml");

  EXPECT_FALSE(parse_toml("[\x01]\n", findings).has_value());
  EXPECT_THAT(to_text(findings.errors), testing::HasSubstr("f.toml:1:2: control byte 0x01"));
}

TEST(ParseToml, RefusesEndlessNesting) {
  Findings findings("f.toml");

  EXPECT_FALSE(parse_toml("a = " + std::string(100000, '['), findings).has_value());
  EXPECT_FALSE(findings.errors.empty());
}

TEST(FileError, ReadsFilePlaceKeyText) {
  EXPECT_EQ(to_text(FileError{"rig.toml", 4, 13, "rig.sample_hz", "must be 1 to 50 Hz, is 200"}),
            "rig.toml:4:13: rig.sample_hz: must be 1 to 50 Hz, is 200");
  EXPECT_EQ(to_text(FileError{"rig.toml", 0, 0, "", "no such file"}), "rig.toml: no such file");
}

TEST(NumberText, IsShortAndReadsBack) {
  EXPECT_EQ(number_text(0.204), "0.204");
  EXPECT_EQ(number_text(101325), "101325");
  EXPECT_EQ(number_text(1e6), "1000000");
  EXPECT_EQ(number_text(1e-9), "1e-09");
  EXPECT_EQ(number_text(-0.0), "-0");
}

}  // namespace
}  // namespace leeward::daemon
