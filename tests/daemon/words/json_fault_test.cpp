#include "daemon/words/json_fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {
std::string fault_of(std::string_view text) {
  const auto json = parse_json(text);
  return json ? std::string("no fault") : json.error().text;
}
}  // namespace

TEST(JsonFault, NamesThePlaceAndWhatStandsThere) {
  EXPECT_EQ(fault_of("{\n  \"a\": ,\n}"),
            "the text is not JSON: it cannot be read at line 2, column 8, near `,`");
  EXPECT_EQ(fault_of(""), "the text is not JSON: it is empty");
  EXPECT_EQ(fault_of("{\"a\": 1"), "the text is not JSON: it breaks off at its end, line 1, column 8");
}

TEST(JsonFault, SaysNothingOfTheParserThatFoundIt) {
  for (const char* text : {"{", "}", "{\"a\":tru}", "{\"a\":\"\x01\"}", "{\"a\":\"\xff\"}", "{\"a\":1e999}",
                           "[1,]", "x", "{\"a\":\"\\q\"}", "{'a': 1}", "\xEF\xBB"}) {
    const std::string fault = fault_of(text);
    EXPECT_THAT(fault, testing::StartsWith("the text is not JSON")) << text;
    EXPECT_THAT(fault, testing::Not(testing::HasSubstr("json."))) << text;
    EXPECT_THAT(fault, testing::Not(testing::HasSubstr("parse"))) << text;
    EXPECT_EQ(fault.find('\n'), std::string::npos) << text;
  }
}

TEST(JsonFault, OutlivesAPlaceBeyondTheText) {
  EXPECT_EQ(json_fault_text("ab", 99), "breaks off at its end, line 1, column 3");
  EXPECT_EQ(json_fault_text("ab", 0), "cannot be read at line 1, column 1, near `ab`");
}

}  // namespace leeward::daemon
