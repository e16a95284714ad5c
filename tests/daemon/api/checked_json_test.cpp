#include "daemon/api/checked_json.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(ParseBody, RefusesWhatIsNestedTooDeep) {
  nlohmann::json out;

  const auto deep = parse_body(std::string(100'000, '['), out);
  const auto just_too_deep = parse_body("{\"a\":" + std::string(32, '[') + std::string(32, ']') + "}", out);
  const auto fits = parse_body("{\"a\":" + std::string(31, '[') + std::string(31, ']') + "}", out);

  ASSERT_TRUE(deep.has_value());
  EXPECT_EQ(deep->status, 400);
  ASSERT_TRUE(just_too_deep.has_value());
  EXPECT_FALSE(fits.has_value());
}

TEST(ParseBody, BracketsInTextsDoNotCount) {
  nlohmann::json out;

  EXPECT_FALSE(parse_body("{\"a\": \"" + std::string(100, '[') + "\\\"[\"}", out).has_value());
}

TEST(ParseBody, NamesThePlaceOfASyntaxError) {
  nlohmann::json out;

  const auto problem = parse_body("{\n  \"a\": ,\n}", out);

  ASSERT_TRUE(problem.has_value());
  EXPECT_EQ(problem->code, "not_json");
  EXPECT_EQ(problem->detail, "the body is not JSON: it cannot be read at line 2, column 8, near `,`");
}

TEST(ParseBody, NamesTheFieldOfWhatIsNoNumber) {
  for (const char* text : {R"({"b": 1, "a": NaN})", R"({"a":Infinity})", R"({"a": -Infinity, "c": 1})",
                           R"({"a": 1e999})", R"({"a": nan})"}) {
    nlohmann::json out;
    const auto problem = parse_body(text, out);
    ASSERT_TRUE(problem.has_value()) << text;
    EXPECT_EQ(problem->status, 422) << text;
    EXPECT_EQ(problem->field, "a") << text;
  }
}

TEST(ParseBody, SurvivesAnyShortGarbage) {
  const std::string alphabet = "{}[]\":,\\NaI-1e9 tn";
  std::uint64_t state = 1;
  for (int round = 0; round < 20'000; ++round) {
    std::string text;
    for (int i = 0; i < 12; ++i) {
      state = state * 6364136223846793005U + 1442695040888963407U;
      text += alphabet[(state >> 33) % alphabet.size()];
    }
    nlohmann::json out;
    const auto problem = parse_body(text, out);
    EXPECT_TRUE(problem || out.is_object()) << text;
  }
}

TEST(FieldReader, PutsThePrefixBeforeTheField) {
  const auto object = nlohmann::json::parse(R"({"x_m": "no"})");
  std::vector<Problem> problems;

  (void)FieldReader(object, "building", problems).number("x_m", {0, 1, "m", false});

  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(problems[0].field, "building.x_m");
  EXPECT_NE(problems[0].detail.find("in m"), std::string::npos);
}

TEST(FieldReader, BothEndsOfARangeBelongToItUnlessSaidOtherwise) {
  const auto object = nlohmann::json::parse(R"({"low": 0, "high": 1})");
  std::vector<Problem> problems;
  FieldReader fields(object, "", problems);

  EXPECT_EQ(fields.number("low", {0, 1, "", false}), 0.0);
  EXPECT_EQ(fields.number("high", {0, 1, "", false}), 1.0);
  EXPECT_EQ(fields.number("low", {0, 1, "", true}), std::nullopt);
  EXPECT_EQ(problems.size(), 1U);
}

}  // namespace leeward::daemon
