#include "daemon/api/report_handler.hpp"
#include "daemon/recorder/recorder.hpp"
#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {
namespace {
using control::RunState;

const std::string kGoodRun = R"({"procedure": "iso-9972", "direction": "depressurize",
  "building": {"name": "invented", "volume_m3": 400, "envelope_area_m2": 380},
  "conditions": {"indoor_c": 21, "outdoor_c": 4, "wind_m_s": 3}})";

std::string with(const std::string& path, const nlohmann::json& value) {
  nlohmann::json body = nlohmann::json::parse(kGoodRun);
  body[nlohmann::json::json_pointer(path)] = value;
  return body.dump();
}

std::string without(const std::string& key) {
  nlohmann::json body = nlohmann::json::parse(kGoodRun);
  body.erase(key);
  return body.dump();
}
}  // namespace

class RunHandlers : public ApiFixture {
 protected:
  /// A closed recording of no ticks.
  std::string make_recording(RunState end) {
    const RunStore store = RunStore::open(folder_).value();
    RecordingMeta meta;
    meta.run_id = store.new_id(1'700'000'000'000);
    meta.procedure = "iso-9972";
    meta.building = "invented";
    meta.started_unix_ms = 1'700'000'000'000;
    meta.engine = fake_config();
    auto recorder = Recorder::open(store.path_of(meta.run_id), meta, control::EngineState{});
    (*recorder)->close(end);
    return meta.run_id;
  }
};

TEST_F(RunHandlers, StartsARunAndNamesIt) {
  backend_.set_answer([](const control::Request&) { return SubmitOutcome{.run_id = "run-7"}; });

  const auto response = ask("POST", "/v1/runs", kGoodRun);

  EXPECT_EQ(response.status, 201) << response.body;
  EXPECT_EQ(json_of(response)["run_id"], "run-7");
  const control::RunSpec run = backend_.requests().at(0).run;
  EXPECT_EQ(run.procedure.id.view(), "iso-9972");
  EXPECT_EQ(run.building.volume_m3, 400);
  EXPECT_TRUE(run.conditions.has_wind);
  EXPECT_FALSE(run.conditions.has_barometric);
  EXPECT_TRUE(run.attended);
  EXPECT_EQ(run.presence_s, 0);
}

TEST_F(RunHandlers, HandsOverHowOftenASignOfLifeIsAskedFor) {
  backend_.set_answer([](const control::Request&) { return SubmitOutcome{.run_id = "run-7"}; });

  EXPECT_EQ(ask("POST", "/v1/runs", with("/presence_s", 600)).status, 201);
  EXPECT_EQ(backend_.requests().at(0).run.presence_s, 600);
}

TEST_F(RunHandlers, NamesWhatIsWrongWithABody) {
  expect_problem(ask("POST", "/v1/runs", with("/procedure", "iso-9973")), 422, "procedure");
  expect_problem(ask("POST", "/v1/runs", with("/procedure", "../../etc/passwd")), 422, "procedure");
  expect_problem(ask("POST", "/v1/runs", with("/procedure", 4)), 422, "procedure");
  expect_problem(ask("POST", "/v1/runs", without("procedure")), 422, "procedure");
  expect_problem(ask("POST", "/v1/runs", without("building")), 422, "building");
  expect_problem(ask("POST", "/v1/runs", without("conditions")), 422, "conditions");
  expect_problem(ask("POST", "/v1/runs", with("/building", 4)), 422, "building");
  expect_problem(ask("POST", "/v1/runs", with("/building/volume_m3", -4)), 422, "building.volume_m3");
  expect_problem(ask("POST", "/v1/runs", with("/building/volume_ft3", 4)), 422, "building.volume_ft3");
  expect_problem(ask("POST", "/v1/runs", with("/conditions/indoor_c", 400)), 422, "conditions.indoor_c");
  expect_problem(ask("POST", "/v1/runs", with("/direction", "down")), 422, "direction");
  expect_problem(ask("POST", "/v1/runs", with("/attended", "yes")), 422, "attended");
  expect_problem(ask("POST", "/v1/runs", with("/presence_s", 29)), 422, "presence_s");
  expect_problem(ask("POST", "/v1/runs", with("/presence_s", 1801)), 422, "presence_s");
  expect_problem(ask("POST", "/v1/runs", with("/presence_s", "often")), 422, "presence_s");
  expect_problem(ask("POST", "/v1/runs", with("/extra", 1)), 422, "extra");
  EXPECT_EQ(ask("POST", "/v1/runs", "{").status, 400);
  EXPECT_EQ(ask("POST", "/v1/runs", "[]").status, 422);
  EXPECT_TRUE(backend_.requests().empty());
}

TEST_F(RunHandlers, SuggestsTheRightUnit) {
  const auto json = json_of(ask("POST", "/v1/runs", with("/building/volume_ft3", 4)));

  EXPECT_NE(json["hint"].get<std::string>().find("volume_m3"), std::string::npos);
}

TEST_F(RunHandlers, ADryRunSubmitsNothing) {
  EXPECT_EQ(ask("POST", "/v1/runs", with("/dry_run", true)).status, 200);

  Snapshot running;
  running.state.run_state = RunState::running;
  running.state.phase = control::Phase::climb;
  backend_.set(running);
  const auto busy = ask("POST", "/v1/runs", with("/dry_run", true));

  EXPECT_EQ(busy.status, 409);
  EXPECT_EQ(json_of(busy)["phase"], "climb");
  EXPECT_TRUE(backend_.requests().empty());
}

TEST_F(RunHandlers, AnUnattendedRunIsRefusedWhereTheRigHasNoStopOfItsOwn) {
  nlohmann::json body = nlohmann::json::parse(kGoodRun);
  body["attended"] = false;
  body["dry_run"] = true;
  const auto response = ask("POST", "/v1/runs", body.dump());

  expect_problem(response, 422, "attended");
  EXPECT_EQ(json_of(response)["code"], "unattended_refused");
  EXPECT_NE(response.body.find("silence_stop"), std::string::npos) << response.body;
}

TEST_F(RunHandlers, AnUnattendedRunIsRefusedWhereTheDriveDidNotTakeItsTimeOut) {
  backend_.set_silence_stop(control::SilenceStop::device_timeout);
  backend_.health.timeout_refused = true;
  nlohmann::json body = nlohmann::json::parse(kGoodRun);
  EXPECT_EQ(ask("POST", "/v1/runs", body.dump()).status, 201);

  body["attended"] = false;
  const auto response = ask("POST", "/v1/runs", body.dump());

  expect_problem(response, 422, "attended");
  EXPECT_EQ(json_of(response)["code"], "unattended_refused");
  EXPECT_NE(json_of(response)["hint"].get<std::string>().find("fan_timeout_s"), std::string::npos);
}

TEST_F(RunHandlers, ADryRunIsJudgedByTheEngineItself) {
  nlohmann::json body = nlohmann::json::parse(with("/dry_run", true));
  body["procedure"] = "single-point";
  body["direction"] = "both";

  expect_problem(ask("POST", "/v1/runs", body.dump()), 422, "direction");
  Snapshot baseline;
  baseline.state.phase = control::Phase::baseline;
  backend_.set(baseline);
  EXPECT_EQ(ask("POST", "/v1/runs", with("/dry_run", true)).status, 409);
}

TEST_F(RunHandlers, AHoldThatTrippedIsListedAsTripped) {
  const std::string id = make_recording(RunState::interrupted);
  Snapshot tripped;
  tripped.run_id = id;
  tripped.by_hand = RunState::tripped;
  backend_.set(tripped);

  EXPECT_EQ(json_of(ask("GET", "/v1/runs/" + id))["state"], "tripped");
}

TEST_F(RunHandlers, AnUnknownRunIs404WhateverItsNameLooksLike) {
  for (const std::string id : {"run-1", "..", "run-1.db", "%2e%2e", "a\\b", "x;y", "RUN"}) {
    EXPECT_EQ(ask("GET", "/v1/runs/" + id).status, 404) << id;
    EXPECT_EQ(ask("GET", "/v1/runs/" + id + "/result").status, 404) << id;
    EXPECT_EQ(ask("GET", "/v1/runs/" + id + "/samples.csv").status, 404) << id;
  }
}

TEST_F(RunHandlers, ListsRecordingsWithTheirState) {
  const std::string id = make_recording(RunState::stopped);

  const auto runs = json_of(ask("GET", "/v1/runs"))["runs"];

  ASSERT_EQ(runs.size(), 1U);
  EXPECT_EQ(runs[0]["id"], id);
  EXPECT_EQ(runs[0]["state"], "stopped");
  EXPECT_EQ(runs[0]["started_at"], "2023-11-14T22:13:20Z");  // computed here
  EXPECT_EQ(json_of(ask("GET", "/v1/runs/" + id))["procedure"], "iso-9972");
}

TEST_F(RunHandlers, AnEntryNamesItsRecordingToWhoIsOnThisMachine) {
  const std::string id = make_recording(RunState::done);

  const auto of_asker = [&](bool is_local) {
    nlohmann::json entry;
    router_.handle({"GET", "/v1/runs/" + id, "", "", "", is_local},
                   [&](const ApiResponse& response) { entry = json_of(response); });
    return entry;
  };

  EXPECT_EQ(of_asker(true)["recording"], (folder_ / (id + ".leeward")).string());
  EXPECT_FALSE(of_asker(false).contains("recording"));
}

TEST_F(RunHandlers, TheResultOfARunThatHasNotEndedIs409) {
  const std::string id = make_recording(RunState::interrupted);
  Snapshot running;
  running.run_id = id;
  running.is_run = true;
  running.recording = RecordingState::recording;
  running.state.run_state = RunState::running;
  running.state.phase = control::Phase::stations;
  backend_.set(running);

  const auto response = ask("GET", "/v1/runs/" + id + "/result");

  EXPECT_EQ(response.status, 409);
  EXPECT_EQ(json_of(response)["phase"], "stations");
  EXPECT_EQ(json_of(ask("GET", "/v1/runs/" + id))["state"], "running");
}

TEST_F(RunHandlers, TheResultOfTheLastRunComesFromMemory) {
  const std::string id = make_recording(RunState::interrupted);
  Snapshot ended;
  ended.run_id = id;
  ended.is_run = true;
  ended.state.run_state = RunState::done;
  ended.state.result.computed = true;
  ended.state.result.valid = true;
  backend_.set(ended);

  const auto response = ask("GET", "/v1/runs/" + id + "/result");

  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(json_of(response)["run_id"], id);
}

TEST_F(RunHandlers, ARecordingWithoutAveragesHasNoResult) {
  const std::string id = make_recording(RunState::stopped);

  EXPECT_EQ(ask("GET", "/v1/runs/" + id + "/result").status, 409);
}

TEST_F(RunHandlers, SamplesComeAsCsv) {
  const std::string id = make_recording(RunState::done);

  const auto response = ask("GET", "/v1/runs/" + id + "/samples.csv");

  EXPECT_EQ(response.status, 200);
  EXPECT_TRUE(response.content_type.starts_with("text/csv"));
  EXPECT_NE(response.body.find("building_pressure_pa"), std::string::npos) << response.body;
}

TEST_F(RunHandlers, TheReportComesAsPdf) {
  const std::string id = make_recording(RunState::stopped);

  const auto response = ask("GET", "/v1/runs/" + id + "/report.pdf");

  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(response.content_type, "application/pdf");
  EXPECT_TRUE(response.body.starts_with("%PDF-"));
  EXPECT_EQ(ask("GET", "/v1/runs/run-00000000-000000/report.pdf").status, 404);
}

TEST_F(RunHandlers, AReportTakesItsParticularsFromTheBody) {
  const std::string path = "/v1/runs/" + make_recording(RunState::stopped) + "/report.pdf";
  const auto with_tester = [&](const nlohmann::json& tester) {
    return ask("POST", path, nlohmann::json{{"particulars", {{"tester", tester}}}}.dump());
  };

  const auto response = ask("POST", path, R"({"paper": "letter", "particulars": {"tester": "Åsa Person"}})");
  EXPECT_EQ(response.status, 200) << response.body;
  EXPECT_TRUE(response.body.starts_with("%PDF-"));
  EXPECT_NE(response.body, ask("POST", path, R"({"paper": "letter"})").body);
  expect_problem(with_tester(std::string(121, 'x')), 422, "particulars.tester");
  expect_problem(with_tester("two\nlines"), 422, "particulars.tester");
  expect_problem(with_tester(7), 422, "particulars.tester");
  expect_problem(ask("POST", path, R"({"particulars": {"testr": "A"}})"), 422, "particulars.testr");
  expect_problem(ask("POST", path, R"({"paper": "a3"})"), 422, "paper");
  EXPECT_EQ(ask("POST", path, "{\"particulars\": {\"tester\": \"\xff\"}}").status, 400);
  EXPECT_EQ(ask("POST", path, "{}", "text/plain").status, 415);
  EXPECT_EQ(ask("POST", "/v1/runs/run-1/report.pdf", "{}").status, 404);
}

TEST(ReportBody, HoldsEveryParticular) {
  nlohmann::json body;
  for (const ParticularKey& key : kParticulars) body["particulars"][key.key] = key.key;
  std::vector<Problem> problems;

  const ReportOptions options = read_report_body(body.dump(), problems);

  EXPECT_TRUE(problems.empty());
  for (const ParticularKey& key : kParticulars) EXPECT_EQ(options.particulars.*key.member, key.key);
}

TEST(ReportQuery, TakesPaperAndUnitsAndNothingElse) {
  ReportOptions options;
  EXPECT_TRUE(read_report_query("", options));
  EXPECT_TRUE(read_report_query("units=ip&paper=letter", options));
  EXPECT_EQ(options.paper, Paper::letter);
  EXPECT_EQ(options.units, UnitSystem::ip);
  for (const char* bad :
       {"paper", "paper=", "paper=a3", "units=cubits", "colour=red", "&", "paper=a4&&units=si"})
    EXPECT_FALSE(read_report_query(bad, options)) << bad;
}

}  // namespace leeward::daemon
