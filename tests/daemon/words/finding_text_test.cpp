#include "daemon/words/finding_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

using control::Finding;
using control::FindingGrade;
using control::FindingKind;
using testing::HasSubstr;

control::RunRecord finding_record() {
  control::RunRecord record;
  record.fan.restrictions.push_back({.name = "bore-290"});
  record.fan.restrictions.push_back({.name = "bore-165"});
  control::DirectionRecord d;
  d.direction = control::Direction::depressurize;
  for (const double target : {60.0, 35.0}) d.stations.push_back({.target_pa = target, .restriction = 1});
  record.directions.push_back(d);
  return record;
}

TEST(FindingText, SaysWhereHowMuchAndHowSure) {
  const Finding opening{.kind = FindingKind::opening,
                        .grade = FindingGrade::likely,
                        .sureness = 0.93,
                        .direction = 0,
                        .station = 1,
                        .size = 0.114,
                        .size_u = 0.012};

  EXPECT_EQ(
      finding_text(opening, finding_record()),
      "In depressurization, from the station of 35 Pa on, the building let through 11 % +- 1 % more air at "
      "equal pressure.");
  EXPECT_EQ(sureness_text(opening), "likely (93 %)");
  EXPECT_THAT(finding_advice(opening), HasSubstr("door, window, hatch or seal"));
}

TEST(FindingText, SaysHowLongSomethingPassingLasted) {
  Finding fan{.kind = FindingKind::exhaust_fan,
              .direction = 0,
              .station = 1,
              .from_ns = 100'000'000'000,
              .passing = true,
              .to_ns = 140'000'000'000,
              .size = 0.02,
              .size_u = 0.002};

  EXPECT_EQ(
      finding_text(fan, finding_record()),
      "In depressurization, at the station of 35 Pa, for about 40 s, something else moved 72.0 m3/h +- 7.2 "
      "m3/h of air out of the building, the same at every pressure.");
  fan.size = -0.02;
  EXPECT_THAT(finding_text(fan, finding_record()), HasSubstr("into the building"));
}

TEST(FindingText, NamesBothRestrictions) {
  const Finding wrong{
      .kind = FindingKind::wrong_restriction, .direction = 0, .station = 1, .size = 3.09, .other = 0};

  EXPECT_EQ(
      finding_text(wrong, finding_record()),
      "In depressurization, from the station of 35 Pa on, the flow fits bore-290, not bore-165 as named: the "
      "true flow is 3.09 times the one that was read.");
}

TEST(FindingText, HasWordsForEveryKind) {
  for (int k = 0; k <= static_cast<int>(FindingKind::tube_kinked); ++k) {
    const Finding finding{.kind = static_cast<FindingKind>(k), .direction = 0, .station = 0, .size = 1};
    EXPECT_NE(finding_title(finding), "Unknown") << k;
    EXPECT_FALSE(finding_text(finding, finding_record()).empty()) << k;
    EXPECT_FALSE(finding_advice(finding).empty()) << k;
    EXPECT_EQ(finding_text(finding, finding_record()).find("unknown"), std::string::npos) << k;
  }
}

}  // namespace
}  // namespace leeward::daemon
