#include "daemon/api/library_handlers.hpp"

#include <gmock/gmock.h>

#include "daemon/api/result_query.hpp"
#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {
namespace {
using testing::HasSubstr;
}  // namespace

using LibraryHandlers = ApiFixture;

TEST_F(LibraryHandlers, ListAndExplainTheProcedures) {
  const auto list = ask("GET", "/v1/procedures", "");
  const auto one = ask("GET", "/v1/procedures/steady", "");

  EXPECT_EQ(list.status, 200);
  EXPECT_GE(json_of(list)["procedures"].size(), 12U);
  EXPECT_EQ(one.status, 200) << one.body;
  EXPECT_EQ(json_of(one)["id"], "steady");
  EXPECT_EQ(json_of(one)["baseline_most_s"], 60.0);
  EXPECT_TRUE(json_of(one)["duration_most_s"].is_number());
}

TEST_F(LibraryHandlers, KnowNoProcedureBesideTheirFolder) {
  EXPECT_EQ(ask("GET", "/v1/procedures/stedy", "").status, 404);
  EXPECT_EQ(ask("GET", "/v1/procedures/..", "").status, 404);
}

TEST_F(LibraryHandlers, ListTheTargets) {
  const auto list = json_of(ask("GET", "/v1/targets", ""))["targets"];

  EXPECT_GE(list.size(), 40U);
  EXPECT_TRUE(list[0]["limit"].is_number());
}

TEST(ResultQuery, ReadsWhatIsAskedFor) {
  std::vector<Problem> problems;
  const ResultQuery query = read_result_query("target=usace,r-2000&decision=guarded&units=ip", problems);

  EXPECT_TRUE(problems.empty());
  EXPECT_EQ(query.targets, (std::vector<std::string>{"usace", "r-2000"}));
  EXPECT_EQ(query.decision, control::Decision::guarded);
  EXPECT_TRUE(query.ip);
}

TEST(ResultQuery, RefusesWhatItDoesNotKnow) {
  std::vector<Problem> problems;
  (void)read_result_query("decision=maybe&units=&tarrget=a", problems);

  ASSERT_EQ(problems.size(), 3U);
  EXPECT_EQ(problems[2].field, "tarrget");
}

TEST(ResultQuery, AddsTheTargetsOfTheBuildingWhereNoneAreAsked) {
  nlohmann::json result = {{"n50_per_h", 1.2}, {"building", {{"targets", {"r-2000", "long-gone"}}}}};
  std::vector<Problem> problems;
  add_asked(result, {}, problems);

  ASSERT_EQ(result["targets"].size(), 1U);
  EXPECT_EQ(result["targets"][0]["passed"], true);
  EXPECT_TRUE(problems.empty());
  add_asked(result, {.targets = {"long-gone"}}, problems);
  EXPECT_EQ(problems.size(), 1U);
}

TEST_F(LibraryHandlers, ARunTakesTheTargetsOfItsBuilding) {
  const std::string body = R"({"procedure": "iso-9972", "building": {"targets": ["r-2000"]},
    "conditions": {"indoor_c": 21, "outdoor_c": 4}})";
  std::string unknown = body;
  unknown.replace(unknown.find("r-2000"), 6, "r-3000");

  backend_.set_answer([](const control::Request&) { return SubmitOutcome{.run_id = "run-7"}; });
  EXPECT_EQ(ask("POST", "/v1/runs", body).status, 201);
  EXPECT_EQ(backend_.requests().at(0).run.building.targets[0].view(), "r-2000");
  const auto refused = ask("POST", "/v1/runs", unknown);
  EXPECT_EQ(refused.status, 422);
  EXPECT_THAT(refused.body, HasSubstr("did you mean r-2000?"));
}

}  // namespace leeward::daemon
