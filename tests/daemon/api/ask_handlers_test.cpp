#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {

class AskHandlers : public ApiFixture {
 protected:
  void open_asks() {
    Snapshot snapshot;
    snapshot.state.asks.push_back({.id = 4, .kind = control::AskKind::fit_restriction, .restriction = 1});
    snapshot.state.asks.push_back(
        {.id = 5, .kind = control::AskKind::turn_fan, .direction = control::Direction::pressurize});
    backend_.set(snapshot);
  }
};

TEST_F(AskHandlers, ListsOpenAsksWithTheirOwnFields) {
  open_asks();

  const auto asks = json_of(ask("GET", "/v1/asks"))["asks"];

  ASSERT_EQ(asks.size(), 2U);
  EXPECT_EQ(asks[0]["id"], "4");
  EXPECT_EQ(asks[0]["kind"], "fit_restriction");
  EXPECT_EQ(asks[0]["restriction"], "bore-290");
  EXPECT_EQ(asks[0]["answers"], nlohmann::json::array({"done", "keep"}));
  EXPECT_EQ(asks[1]["direction"], "pressurize");
}

TEST_F(AskHandlers, SayWhatARestrictionPromisesWhereThatIsKnown) {
  Snapshot snapshot;
  snapshot.state.asks.push_back({.id = 1,
                                 .kind = control::AskKind::fit_restriction,
                                 .restriction = 1,
                                 .promise = {.known = true,
                                             .blind = false,
                                             .stations_to_come = 8,
                                             .stations_meant = 5,
                                             .serves_p = 0.75,
                                             .fitted_p = 0.25,
                                             .stations_unserved = 2}});
  snapshot.state.asks.push_back({.id = 2, .kind = control::AskKind::fit_restriction, .restriction = 1});
  backend_.set(snapshot);

  const auto asks = json_of(ask("GET", "/v1/asks"))["asks"];

  EXPECT_EQ(asks[0]["promise"]["measured"], true);
  EXPECT_EQ(asks[0]["promise"]["stations_to_come"], 8);
  EXPECT_EQ(asks[0]["promise"]["stations_served"], 5);
  EXPECT_EQ(asks[0]["promise"]["probability_frac"], 0.75);
  EXPECT_EQ(asks[0]["promise"]["fitted_probability_frac"], 0.25);
  EXPECT_EQ(asks[0]["promise"]["stations_unserved"], 2);
  EXPECT_FALSE(asks[1].contains("promise"));
}

TEST_F(AskHandlers, NamesAFanOnlyWhereOneIsMeant) {
  Snapshot snapshot;
  snapshot.state.asks.push_back({.id = 1, .kind = control::AskKind::checklist});
  snapshot.state.asks.push_back({.id = 2, .kind = control::AskKind::look_round});
  snapshot.state.asks.push_back({.id = 3, .kind = control::AskKind::cover_fan, .fan = 1});
  backend_.set(snapshot);

  const auto asks = json_of(ask("GET", "/v1/asks"))["asks"];

  EXPECT_FALSE(asks[0].contains("fan"));
  EXPECT_FALSE(asks[1].contains("fan"));
  EXPECT_EQ(asks[2]["fan"], 2);
}

TEST_F(AskHandlers, HandsTheAnswerToTheEngine) {
  EXPECT_EQ(ask("POST", "/v1/asks/4", R"({"answer": "keep"})").status, 200);

  ASSERT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(backend_.requests()[0].ask_id, 4);
  EXPECT_EQ(backend_.requests()[0].answer, control::Answer::keep);
}

TEST_F(AskHandlers, WrongAnswersAreNamed) {
  expect_problem(ask("POST", "/v1/asks/4", R"({"answer": "maybe"})"), 422, "answer");
  expect_problem(ask("POST", "/v1/asks/4", R"({"answer": "none"})"), 422, "answer");
  expect_problem(ask("POST", "/v1/asks/4", R"({"answer": 1})"), 422, "answer");
  expect_problem(ask("POST", "/v1/asks/4", "{}"), 422, "answer");
  EXPECT_EQ(ask("POST", "/v1/asks/4", "").status, 400);
  EXPECT_TRUE(backend_.requests().empty());

  backend_.refuse_with(control::Refusal::ask_answered, control::Phase::prepare);
  expect_problem(ask("POST", "/v1/asks/4", R"({"answer": "done"})"), 409, "ask_id");
  backend_.refuse_with(control::Refusal::unknown_ask, control::Phase::prepare);
  expect_problem(ask("POST", "/v1/asks/99", R"({"answer": "done"})"), 404, "ask_id");
}

TEST_F(AskHandlers, AnIdThatIsNoNumberIsNoAsk) {
  for (const std::string id : {"4x", "x", "0", "-3", "99999999999999999999", "1.5"}) {
    const auto response = ask("POST", "/v1/asks/" + id, R"({"answer": "done"})");
    expect_problem(response, 404, "ask_id");
    EXPECT_NE(json_of(response)["detail"].get<std::string>().find("\"" + id + "\""), std::string::npos);
    EXPECT_EQ(json_of(response)["hint"], "GET /v1/asks lists the open asks");
  }
  EXPECT_TRUE(backend_.requests().empty());
}

}  // namespace leeward::daemon
