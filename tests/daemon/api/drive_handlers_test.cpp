#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {

class DriveHandlers : public ApiFixture {
 protected:
  ApiResponse ask_with_shelf(const std::string& method, const std::string& path,
                             const std::string& body = {}) {
    const Router router({backend_, RunStore::open(folder_).value(), "test", &desk_, &shelf_});
    ApiResponse got;
    router.handle({method, path, "", "application/json", body}, [&](ApiResponse r) { got = std::move(r); });
    return got;
  }
  static FoundDrive drive() {
    FoundDrive drive;
    drive.run_id = "run-1";
    drive.found_at_utc = "2026-05-04T10:20:30Z";
    drive.quality_frac = 0.8;
    drive.found.slew_s = {6, 0.5};
    drive.found.offset_frac = {0.01, 0.02};
    return drive;
  }
  DriveShelf shelf_{true};
};

TEST_F(DriveHandlers, AnExperimentIsAskedOfTheEngine) {
  const auto response =
      ask_with_shelf("POST", "/v1/rig-learn", R"({"volume_m3": 300, "direction": "pressurize"})");

  EXPECT_EQ(response.status, 200) << response.body;
  ASSERT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(backend_.requests()[0].kind, control::RequestKind::learn_drive);
  EXPECT_EQ(backend_.requests()[0].volume_m3, 300);
  EXPECT_EQ(backend_.requests()[0].direction, control::Direction::pressurize);
}

TEST_F(DriveHandlers, WhatIsWrongOrRefusedIsNotBegun) {
  expect_problem(ask_with_shelf("POST", "/v1/rig-learn", R"({"volume": 300})"), 422, "volume");
  expect_problem(ask_with_shelf("POST", "/v1/rig-learn", R"({"volume_m3": -1})"), 422, "volume_m3");
  EXPECT_TRUE(backend_.requests().empty());

  backend_.refuse_with(control::Refusal::busy, control::Phase::stations);
  expect_problem(ask_with_shelf("POST", "/v1/rig-learn"), 409, "");
  backend_.refuse_with(control::Refusal::tripped, control::Phase::tripped);
  expect_problem(ask_with_shelf("POST", "/v1/rig-learn"), 409, "");
}

TEST_F(DriveHandlers, WhereTheRigFileDoesNotOfferItNothingIsBegun) {
  const auto response = ask("POST", "/v1/rig-learn");

  expect_problem(response, 409, "");
  EXPECT_EQ(json_of(response)["code"], "not_offered");
  EXPECT_NE(response.body.find("learn_drive = true"), std::string::npos);
  EXPECT_TRUE(backend_.requests().empty());
}

TEST_F(DriveHandlers, WhatIsRefusedIsToldUntilSomethingIsFound) {
  shelf_.put_refused("what is stored of the drive is refused: drive.lag_s");

  const auto refused = ask_with_shelf("GET", "/v1/rig-learn");
  shelf_.settle({.run_id = "run-1", .is_stored = true, .text = "known", .warnings = {"w"}}, drive());
  const auto found = json_of(ask_with_shelf("GET", "/v1/rig-learn"));

  expect_problem(refused, 404, "");
  EXPECT_NE(refused.body.find("drive.lag_s"), std::string::npos);
  EXPECT_EQ(found["run_id"], "run-1");
  EXPECT_EQ(found["warnings"], nlohmann::json::array({"w"}));
  EXPECT_EQ(found["last_experiment"]["stored"], true);
}

TEST_F(DriveHandlers, NothingStoredIs404AndSaysHowTheLastExperimentEnded) {
  expect_problem(ask("GET", "/v1/rig-learn"), 404, "");
  shelf_.begin_fit();
  shelf_.settle({.run_id = "run-1", .is_stored = false, .text = "nothing moved"}, std::nullopt);

  const auto response = ask_with_shelf("GET", "/v1/rig-learn");

  expect_problem(response, 404, "");
  EXPECT_NE(response.body.find("nothing moved"), std::string::npos);
}

TEST_F(DriveHandlers, WhatIsStoredComesWithDateQualityAndIntervals) {
  shelf_.put_stored(drive(), {"drive_lag_s: far off"});

  const auto json = json_of(ask_with_shelf("GET", "/v1/rig-learn"));

  EXPECT_EQ(json["found_at"], "2026-05-04T10:20:30Z");
  EXPECT_EQ(json["quality_frac"], 0.8);
  EXPECT_EQ(json["slew_s"], 6);
  EXPECT_EQ(json["slew_u_s"], 0.5);
  EXPECT_NEAR(json["slew_s_high"].get<double>(), 6.98, 1e-9);  // 1.96 standard uncertainties
  EXPECT_EQ(json["offset_frac_low"], 0);
  EXPECT_EQ(json["warnings"], nlohmann::json::array({"drive_lag_s: far off"}));
  EXPECT_TRUE(json["last_experiment"].is_null());
}

}  // namespace leeward::daemon
