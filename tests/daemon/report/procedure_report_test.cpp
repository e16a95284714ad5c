#include "daemon/report/procedure_report.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;

control::ProcedureSpec explained_procedure() {
  control::ProcedureSpec p = example::record().procedure;
  p.stations_pa.push_back(50);
  p.stations_pa.push_back(25);
  p.baseline_s = 30;
  p.baseline_most_s = 90;
  p.station_average_s = 10;
  p.checks[0].mark = control::Mark::source;
  p.checks[0].source = "a book";
  return p;
}

TEST(TestLength, AddsUpWhatTheFanDoes) {
  // Two zero-flow readings, 10 s look-round, 50 s of climb, two stations of 5 s travel, 5 s settling, 10 s.
  const TestLength length = test_length(explained_procedure());

  EXPECT_DOUBLE_EQ(length.least_s, 2 * 30 + 10 + 50 + 2 * (5 + 5 + 10));
  EXPECT_DOUBLE_EQ(length.most_s, length.least_s + 2 * 60);
  control::ProcedureSpec both = explained_procedure();
  both.directions = control::DirectionRule::both;
  EXPECT_DOUBLE_EQ(test_length(both).least_s, 2 * length.least_s);
}

TEST(ProcedureText, SaysWhatIsDoneAndWhatItIsJudgedBy) {
  const std::string text = procedure_text(explained_procedure());

  EXPECT_THAT(text, HasSubstr("Zero-flow pressure with the fan covered, over 30 s to 90 s"));
  EXPECT_THAT(text, HasSubstr("Stations at 50, 25 Pa"));
  EXPECT_THAT(text, HasSubstr("About 3 to 5 min in all"));
  EXPECT_THAT(text,
              HasSubstr("invalid    Number of pressure stations: at least 5 (clause 5.3; limit read in a"));
  EXPECT_THAT(text, HasSubstr("at least 0.98 (clause 5.3; limit not"));
  for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1)
    EXPECT_LE(text.find('\n', at) - at, 80U) << text.substr(at, 90);
}

TEST(ProcedureJson, HoldsTheWholeProcedure) {
  const nlohmann::json whole = procedure_json(explained_procedure());

  EXPECT_EQ(whole["id"], "steady");
  EXPECT_EQ(whole["stations_pa"][1], 25.0);
  EXPECT_EQ(whole["checks"][0]["kind"], "station_count");
  EXPECT_EQ(whole["checks"][0]["low"], 5.0);
  EXPECT_TRUE(whole["checks"][0]["high"].is_null());
  EXPECT_EQ(whole["checks"][0]["mark"], "source");
  EXPECT_EQ(whole["checks"][1]["text"], "Coefficient of determination r2: at least 0.98");
  EXPECT_EQ(whole["duration_most_s"].get<double>(), 280);
}

}  // namespace
}  // namespace leeward::daemon
