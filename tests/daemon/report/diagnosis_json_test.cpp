#include "daemon/report/diagnosis_json.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/report/result_json.hpp"
#include "daemon/report/result_table.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using nlohmann::json;
using testing::HasSubstr;

control::RunResult result_with_a_fan() {
  control::RunResult result = example::result();
  result.findings.push_back({.kind = control::FindingKind::exhaust_fan,
                             .grade = control::FindingGrade::certain,
                             .sureness = 0.998,
                             .direction = 0,
                             .station = 0,
                             .from_ns = 200'000'000'000,
                             .size = 0.02,
                             .size_u = 0.001});
  return result;
}

TEST(DiagnosisJson, HoldsKindTextAdviceSurenessAndEvidence) {
  const json list = diagnosis_json(example::record(), result_with_a_fan());

  ASSERT_EQ(list.size(), 1U);
  EXPECT_EQ(list[0]["kind"], "exhaust_fan");
  EXPECT_EQ(list[0]["grade"], "certain");
  EXPECT_DOUBLE_EQ(list[0]["sureness"].get<double>(), 0.998);
  EXPECT_THAT(list[0]["text"].get<std::string>(), HasSubstr("72.0 m3/h"));
  EXPECT_THAT(list[0]["advice"].get<std::string>(), HasSubstr("Switch off"));
  EXPECT_DOUBLE_EQ(list[0]["evidence"]["outflow_m3_h"].get<double>(), 72);
  EXPECT_DOUBLE_EQ(list[0]["evidence"]["outflow_m3_h_u"].get<double>(), 3.6);
  EXPECT_EQ(list[0]["evidence"]["direction"], "depressurize");
  EXPECT_DOUBLE_EQ(list[0]["evidence"]["from_s"].get<double>(), 200);
  EXPECT_TRUE(list[0]["evidence"]["to_s"].is_null());
}

TEST(DiagnosisJson, IsPartOfTheResultAndOfItsTable) {
  const ResultHead head{"run-20261125-140733", "0.1.0", control::RunState::done, 1795615653000};
  const json with = result_json(head, example::record(), result_with_a_fan(), example::engine());
  const json without = result_json(head, example::record(), example::result(), example::engine());

  EXPECT_EQ(with["diagnosis"].size(), 1U);
  EXPECT_TRUE(without["diagnosis"].is_array());
  EXPECT_TRUE(without["diagnosis"].empty());
  EXPECT_THAT(result_table(with), HasSubstr("What the readings show\n- Another fan, certain."));
  EXPECT_EQ(result_table(without).find("What the readings show"), std::string::npos);
}

}  // namespace
}  // namespace leeward::daemon
