#include <memory>

#include "control/engine.hpp"
#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {
namespace {
using control::Phase;
using control::Refusal;
using control::RequestKind;
}  // namespace

class CommandHandlers : public ApiFixture {};

TEST_F(CommandHandlers, HoldHandsEveryFieldToTheEngine) {
  const auto response =
      ask("POST", "/v1/hold",
          R"({"target_pa": 20, "direction": "pressurize", "max_s": 60, "look_round_done": true,
                                "volume_m3": 300, "indoor_c": 21, "outdoor_c": -3})");

  EXPECT_EQ(response.status, 200) << response.body;
  ASSERT_EQ(backend_.requests().size(), 1U);
  const control::Request request = backend_.requests()[0];
  EXPECT_EQ(request.kind, RequestKind::hold);
  EXPECT_EQ(request.target_pa, 20);
  EXPECT_EQ(request.direction, control::Direction::pressurize);
  EXPECT_EQ(request.max_s, 60);
  EXPECT_TRUE(request.look_round_done);
  EXPECT_EQ(request.volume_m3, 300);
  EXPECT_EQ(request.run.conditions.outdoor_c, -3);
}

TEST_F(CommandHandlers, WrongFieldsAreNamedAndNothingIsSubmitted) {
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": "20"})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 0})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 5000})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": NaN})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 1e999})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": -Infinity})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 20, "direction": "up"})"), 422, "direction");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 20, "look_round_done": 1})"), 422,
                 "look_round_done");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 20, "pressure": 1})"), 422, "pressure");
  expect_problem(ask("POST", "/v1/hold", "{}"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/climb", R"({"target_pa": 20})"), 422, "rate_pa_s");
  expect_problem(ask("POST", "/v1/climb", R"({"target_pa": 20, "rate_pa_s": 99})"), 422, "rate_pa_s");
  expect_problem(ask("POST", "/v1/baseline", R"({"duration_s": 0})"), 422, "duration_s");
  expect_problem(ask("POST", "/v1/continue", R"({"x": 0})"), 422, "x");

  EXPECT_TRUE(backend_.requests().empty());
}

TEST_F(CommandHandlers, ALimitIsNamedWithItsUnit) {
  const auto json = json_of(ask("POST", "/v1/hold", R"({"target_pa": 5000})"));

  EXPECT_NE(json["detail"].get<std::string>().find("1000 Pa"), std::string::npos) << json;
}

TEST_F(CommandHandlers, AllProblemsAreListed) {
  const auto json = json_of(ask("POST", "/v1/climb", R"({"target_pa": -1, "rate_pa_s": "x", "y": 0})"));

  ASSERT_EQ(json["errors"].size(), 3U) << json;
  EXPECT_EQ(json["errors"][2]["field"], "y");
}

TEST_F(CommandHandlers, ARefusalForTheStateIs409WithThePhase) {
  backend_.refuse_with(Refusal::busy, Phase::stations);

  const auto response = ask("POST", "/v1/baseline");

  EXPECT_EQ(response.status, 409);
  EXPECT_EQ(json_of(response)["phase"], "stations");
  EXPECT_EQ(json_of(response)["code"], "busy");
}

TEST_F(CommandHandlers, EveryRefusalHasAnAnswer) {
  for (int i = 1; i <= static_cast<int>(Refusal::unattended_refused); ++i) {
    backend_.refuse_with(static_cast<Refusal>(i), Phase::idle);
    const auto response = ask("POST", "/v1/hold", R"({"target_pa": 20})");
    EXPECT_TRUE(response.status == 409 || response.status == 422 || response.status == 404) << i;
    EXPECT_FALSE(json_of(response)["detail"].get<std::string>().empty()) << i;
    EXPECT_TRUE(response.status != 422 || json_of(response).contains("field")) << i;
  }
}

TEST_F(CommandHandlers, HoldWithoutATargetPausesARunAndIsWrongElsewhere) {
  Snapshot running;
  running.state.run_state = control::RunState::running;
  backend_.set(running);

  EXPECT_EQ(ask("POST", "/v1/hold").status, 200);

  ASSERT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(backend_.requests()[0].kind, RequestKind::pause);
}

TEST_F(CommandHandlers, WhetherAHoldPausesIsSeenInTheParsedBodyNotInItsText) {
  Snapshot running;
  running.state.run_state = control::RunState::running;
  backend_.set(running);

  expect_problem(ask("POST", "/v1/hold", "no JSON"), 400, "");
  expect_problem(ask("POST", "/v1/hold", R"(["target_pa"])"), 422, "");
  expect_problem(ask("POST", "/v1/hold", R"({"max_s": 60})"), 422, "target_pa");
  EXPECT_TRUE(backend_.requests().empty());

  EXPECT_EQ(ask("POST", "/v1/hold", " { } ").status, 200);
  EXPECT_EQ(backend_.requests().at(0).kind, RequestKind::pause);
  EXPECT_EQ(ask("POST", "/v1/hold", R"({"target_pa": 20})").status, 200);
  EXPECT_EQ(backend_.requests().at(1).kind, RequestKind::hold);
}

TEST_F(CommandHandlers, AHoldWithoutAPressureNamesTheField) {
  const auto json = json_of(ask("POST", "/v1/hold"));

  EXPECT_EQ(json["detail"], "target_pa is missing; give a number from 1 to 1000 Pa");
}

TEST_F(CommandHandlers, WhatCannotBePausedOrContinuedSaysWhy) {
  Snapshot running;
  running.state.run_state = control::RunState::running;
  backend_.set(running);
  backend_.refuse_with(Refusal::not_running, Phase::stations);

  EXPECT_EQ(json_of(ask("POST", "/v1/continue"))["detail"],
            "No run is paused, so there is nothing to continue.");
  EXPECT_NE(ask("POST", "/v1/hold").body.find("Give target_pa"), std::string::npos);
}

TEST_F(CommandHandlers, LimitsAreThoseOfTheEngine) {
  const control::Engine engine(fake_config());
  const auto judged = [&engine](const control::Request& request) {
    auto state = std::make_unique<control::EngineState>(engine.initial_state());
    state->has_zero_flow = true;
    return engine.step(*state, control::Sample{}, {&request, 1}).refusals[0];
  };
  const auto judge_accepted = [&](const std::string& path, const std::string& body) {
    ASSERT_EQ(ask("POST", path, body).status, 200) << path << body;
    EXPECT_EQ(judged(backend_.requests().back()), Refusal::accepted) << path << body;
  };
  judge_accepted("/v1/baseline", R"({"duration_s": 5})");
  judge_accepted("/v1/baseline", R"({"duration_s": 600})");
  judge_accepted("/v1/hold", R"({"target_pa": 1, "max_s": 1})");
  judge_accepted("/v1/climb", R"({"target_pa": 10, "rate_pa_s": 0.05, "max_s": 86400})");
  judge_accepted("/v1/climb", R"({"target_pa": 10, "rate_pa_s": 20})");

  expect_problem(ask("POST", "/v1/baseline", R"({"duration_s": 4.9})"), 422, "duration_s");
  expect_problem(ask("POST", "/v1/baseline", R"({"duration_s": 601})"), 422, "duration_s");
  expect_problem(ask("POST", "/v1/hold", R"({"target_pa": 0.9})"), 422, "target_pa");
  expect_problem(ask("POST", "/v1/climb", R"({"target_pa": 10, "rate_pa_s": 21})"), 422, "rate_pa_s");
}

TEST_F(CommandHandlers, ATapIsASignOfLife) {
  EXPECT_EQ(ask("POST", "/v1/presence").status, 200);
  expect_problem(ask("POST", "/v1/presence", R"({"who": "me"})"), 422, "who");

  ASSERT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(backend_.requests()[0].kind, RequestKind::still_here);
}

TEST_F(CommandHandlers, ATapThatNobodyAskedForIs409) {
  backend_.refuse_with(Refusal::not_running, Phase::idle);

  const auto response = ask("POST", "/v1/presence");

  EXPECT_EQ(response.status, 409);
  EXPECT_EQ(json_of(response)["code"], "not_running");
}

TEST_F(CommandHandlers, StopTakesAnyBody) {
  EXPECT_EQ(ask("POST", "/v1/stop", "not json at all", "text/plain").status, 200);

  ASSERT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(backend_.requests()[0].kind, RequestKind::stop);
}

TEST_F(CommandHandlers, WhatWasNotSteppedIs503Or409) {
  backend_.set_answer([](const control::Request&) {
    return SubmitOutcome{.status = SubmitStatus::recording_failed, .detail = "disk full"};
  });
  EXPECT_EQ(ask("POST", "/v1/baseline").status, 503);
  EXPECT_NE(ask("POST", "/v1/baseline").body.find("disk full"), std::string::npos);
  backend_.set_answer(
      [](const control::Request&) { return SubmitOutcome{.status = SubmitStatus::queue_full}; });
  EXPECT_EQ(ask("POST", "/v1/baseline").status, 503);
  backend_.set_answer(
      [](const control::Request&) { return SubmitOutcome{.status = SubmitStatus::overtaken}; });
  EXPECT_EQ(ask("POST", "/v1/baseline").status, 409);
}

}  // namespace leeward::daemon
