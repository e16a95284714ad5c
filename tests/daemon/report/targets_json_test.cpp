#include "daemon/report/targets_json.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/report/result_json.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using nlohmann::json;

control::TargetSpec report_target(control::TargetMetric metric, double limit) {
  control::TargetSpec target;
  target.id = "invented";
  target.title = "Invented limit";
  target.programme = "Invented";
  target.metric = metric;
  target.unit =
      metric == control::TargetMetric::n50 ? control::TargetUnit::per_h : control::TargetUnit::m3_h_m2;
  target.limit = limit;
  return target;
}

json targets_example(const control::TargetSpec& target, control::Decision decision) {
  const json result = result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(),
                                  example::result(), example::engine());
  return targets_json({target}, result, decision)[0];
}

TEST(TargetsJson, SaysWhatWasHeldAgainstWhat) {
  // n50 of the example: 0.026 m3/s * 50^0.65 * 3600 / 400 m3 = 2.976 1/h, 2.5 % to its one-sided bound.
  const json simple =
      targets_example(report_target(control::TargetMetric::n50, 3), control::Decision::simple);
  const json guarded =
      targets_example(report_target(control::TargetMetric::n50, 3), control::Decision::guarded);

  EXPECT_EQ(simple["id"], "invented");
  EXPECT_EQ(simple["metric"], "n50");
  EXPECT_EQ(simple["limit"], 3.0);
  EXPECT_EQ(simple["unit"], "1/h");
  EXPECT_EQ(simple["decision"], "simple");
  EXPECT_NEAR(simple["value"].get<double>(), 2.976, 0.001);
  EXPECT_EQ(simple["passed"], true);
  EXPECT_EQ(guarded["passed"], false);
  EXPECT_THAT(guarded["text"].get<std::string>(),
              testing::HasSubstr("at most 3.00 1/h: failed (rule guarded"));
}

TEST(TargetsJson, LeavesOpenWhatTheBuildingDoesNotGive) {
  const json open = targets_example(report_target(control::TargetMetric::qe50, 3), control::Decision::simple);

  EXPECT_TRUE(open["passed"].is_null());
  EXPECT_TRUE(open["value"].is_null());
  EXPECT_THAT(open["text"].get<std::string>(), testing::HasSubstr("not judged"));
  EXPECT_THAT(open["text"].get<std::string>(), testing::HasSubstr("the envelope area"));
}

}  // namespace
}  // namespace leeward::daemon
