#include "daemon/api/router.hpp"

#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {

class RouterRoutes : public ApiFixture {};

TEST_F(RouterRoutes, AnUnknownPathIs404) {
  for (const char* path : {"/", "/v1", "/v1/", "/v1/statu", "/v1/status/x", "/v2/status", "//v1/status",
                           "/v1/live", "/v1/runs/a/b/c"})
    EXPECT_EQ(ask("GET", path).status, 404) << path;
}

TEST_F(RouterRoutes, AWrongMethodIs405WithAllow) {
  const auto response = ask("DELETE", "/v1/runs");

  EXPECT_EQ(response.status, 405);
  ASSERT_EQ(response.headers.size(), 1U);
  EXPECT_EQ(response.headers[0].first, "Allow");
  EXPECT_EQ(response.headers[0].second, "GET, POST");
}

TEST_F(RouterRoutes, ABodyMustBeJson) {
  EXPECT_EQ(ask("POST", "/v1/hold", R"({"target_pa": 20})", "text/plain").status, 415);
  EXPECT_EQ(ask("POST", "/v1/hold", R"({"target_pa": 20})", "").status, 415);
  EXPECT_EQ(ask("POST", "/v1/hold", R"({"target_pa": 20})", "application/jsonx").status, 415);
  EXPECT_EQ(ask("POST", "/v1/hold", R"({"target_pa": 20})", "application/json; charset=utf-8").status, 200);
}

TEST_F(RouterRoutes, OnlyWhatReadsFilesIsSlow) {
  EXPECT_FALSE(router_.is_slow({"POST", "/v1/stop", "", "", ""}));
  EXPECT_FALSE(router_.is_slow({"GET", "/v1/status", "", "", ""}));
  EXPECT_TRUE(router_.is_slow({"GET", "/v1/runs/run-1/samples.csv", "", "", ""}));
  EXPECT_TRUE(router_.is_slow({"POST", "/v1/runs", "", "", ""}));
}

TEST_F(RouterRoutes, StatusHasTheAgreedShape) {
  Snapshot snapshot;
  snapshot.state.has_zero_flow = true;
  snapshot.state.zero_flow_pa = -1.5;
  snapshot.sample.building_pressure_pa = {-51.5, 0, control::Quality::good};
  snapshot.sample.fans[0].signal_pa = {40, 0, control::Quality::good};
  snapshot.outputs[0] = {true, 0.5};
  backend_.set(snapshot);

  const auto status = json_of(ask("GET", "/v1/status"));

  for (const char* key :
       {"phase", "run_id", "pid", "watchman_pid", "building_pressure_pa", "induced_pressure_pa", "target_pa",
        "direction", "fans", "estimates", "asks", "trip"})
    EXPECT_TRUE(status.contains(key)) << key;
  EXPECT_TRUE(status["watchman_pid"].is_null());  // nobody watches over a backend of a test
  EXPECT_EQ(status["silence_stop"]["kind"], "none");
  EXPECT_NE(status["silence_stop"]["text"].get<std::string>().find("NOTHING"), std::string::npos);
  EXPECT_EQ(status["phase"], "idle");
  EXPECT_EQ(status["induced_pressure_pa"], -50.0);
  EXPECT_TRUE(status["trip"].is_null());
  EXPECT_TRUE(status["target_pa"].is_null());
  ASSERT_EQ(status["fans"].size(), 1U);
  for (const char* key :
       {"name", "demand_frac", "enabled", "signal_pa", "flow_m3_s", "restriction", "covered"})
    EXPECT_TRUE(status["fans"][0].contains(key)) << key;
  EXPECT_EQ(status["fans"][0]["restriction"], "bore-500");
  EXPECT_EQ(status["fans"][0]["enabled"], true);
  for (const char* key : {"c_m3_h_pan", "n", "q50_m3_h"})
    EXPECT_TRUE(status["estimates"].contains(key)) << key;
}

TEST_F(RouterRoutes, ReadingsAreShownWithTheDigitsThatTheyCameWith) {
  Snapshot snapshot;
  snapshot.sample.building_pressure_pa = {static_cast<double>(23.1F), 0, control::Quality::good};
  backend_.set(snapshot);

  EXPECT_NE(ask("GET", "/v1/status").body.find("\"building_pressure_pa\":23.1,"), std::string::npos);
}

TEST_F(RouterRoutes, WhatIsNotKnownIsNull) {
  const auto status = json_of(ask("GET", "/v1/status"));

  EXPECT_TRUE(status["building_pressure_pa"].is_null());
  EXPECT_TRUE(status["induced_pressure_pa"].is_null());
  EXPECT_TRUE(status["fans"][0]["signal_pa"].is_null());
  EXPECT_TRUE(status["fans"][0]["flow_m3_s"].is_null());
  EXPECT_TRUE(status["run_id"].is_null());
  EXPECT_TRUE(status["estimates"]["n"].is_null());
}

TEST_F(RouterRoutes, ATripIsGivenWithCauseTextAndTime) {
  Snapshot snapshot;
  snapshot.state.now_ns = 5'000'000'000;
  snapshot.sample.wall_unix_ms = 1'700'000'005'000;  // 2023-11-14T22:13:25Z, computed here
  snapshot.state.guard.trip.cause = control::TripCause::over_pressure;
  snapshot.state.guard.trip.at_ns = 0;
  backend_.set(snapshot);

  const auto trip = json_of(ask("GET", "/v1/status"))["trip"];

  EXPECT_EQ(trip["cause"], "over_pressure");
  EXPECT_EQ(trip["at"], "2023-11-14T22:13:20Z");
  EXPECT_FALSE(trip["text"].get<std::string>().empty());
}

TEST_F(RouterRoutes, HealthzFailsWhenTicksStop) {
  EXPECT_EQ(ask("GET", "/v1/healthz").status, 200);

  backend_.tick_age = 3;

  EXPECT_EQ(ask("GET", "/v1/healthz").status, 503);
}

TEST_F(RouterRoutes, ListsTheProcedures) {
  const auto procedures = json_of(ask("GET", "/v1/procedures"))["procedures"];

  bool has_iso = false;
  for (const auto& procedure : procedures) has_iso = has_iso || procedure["id"] == "iso-9972";
  EXPECT_TRUE(has_iso) << procedures;
}

}  // namespace leeward::daemon
