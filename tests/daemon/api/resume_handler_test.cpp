#include "control/procedure/kept_run.hpp"
#include "daemon/recorder/recorder.hpp"
#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {
namespace {
using control::RunState;

control::BaselineRecord reading_at(std::int64_t begin_ns) {
  control::BaselineRecord out;
  out.taken = true;
  out.begin_ns = begin_ns;
  out.end_ns = begin_ns + 1'000'000'000;
  return out;
}

control::StationRecord station_at(double target_pa, std::int64_t begin_ns) {
  control::StationRecord out;
  out.target_pa = target_pa;
  out.begin_ns = begin_ns;
  out.end_ns = begin_ns + 1'000'000'000;
  out.pressure_mean_pa = -target_pa;
  out.flow_mean_m3_s = 0.1;
  return out;
}
}  // namespace

class ResumeHandler : public ApiFixture {
 protected:
  ResumeHandler() {
    begun_.kind = control::RequestKind::start_run;
    begun_.run.procedure.id = "iso-9972";
    for (const double pa : {50., 40., 30.}) begun_.run.procedure.stations_pa.push_back(pa);
    begun_.run.conditions.indoor_c = 21;
    begun_.run.conditions.outdoor_c = 4;
    state_.run_state = RunState::running;
    state_.record.procedure = begun_.run.procedure;
    state_.record.conditions = begun_.run.conditions;
    control::DirectionRecord direction;
    direction.before = reading_at(1'000'000'000);
    direction.stations.push_back(station_at(50, 3'000'000'000));
    state_.record.directions.push_back(direction);
    backend_.set_answer([](const control::Request&) { return SubmitOutcome{.run_id = "run-7"}; });
  }

  /// A recording of one tick that ended so long ago, without an end where `end` is running.
  std::string record(RunState end, double ended_s_ago) {
    const RunStore store = RunStore::open(folder_).value();
    RecordingMeta meta;
    meta.started_unix_ms = 1'700'000'000'000;
    meta.run_id = store.new_id(meta.started_unix_ms);
    meta.procedure = "iso-9972";
    meta.engine = fake_config();
    auto recorder = Recorder::open(store.path_of(meta.run_id), meta, control::EngineState{});
    control::Sample sample;
    sample.stamp_ns = 5'000'000'000;
    sample.wall_unix_ms = calendar_now_ms() - static_cast<std::int64_t>(ended_s_ago * 1000);
    control::StepOutput output;
    output.refusals.push_back(control::Refusal::accepted);
    (*recorder)->append(0, sample, {&begun_, 1}, output, &state_);
    if (end == RunState::running) return meta.run_id;  // the destructor writes what it has, and no end
    (*recorder)->close(end);
    return meta.run_id;
  }

  control::Request begun_;
  control::EngineState state_;
};

TEST_F(ResumeHandler, StartsARunThatBringsWhatIsKeptAndNamesTheOneBefore) {
  const std::string id = record(RunState::running, 60);

  const auto response = ask("POST", "/v1/runs/" + id + "/resume", R"({"conditions": {"outdoor_c": 6}})");

  EXPECT_EQ(response.status, 201) << response.body;
  EXPECT_EQ(json_of(response)["run_id"], "run-7");
  EXPECT_EQ(json_of(response)["continues"], id);
  EXPECT_EQ(json_of(response)["stations_kept"], 1);
  const control::Request request = backend_.requests().at(0);
  EXPECT_EQ(request.kind, control::RequestKind::start_run);
  EXPECT_EQ(request.run.procedure, begun_.run.procedure);
  EXPECT_EQ(request.run.conditions.outdoor_c, 6);
  EXPECT_EQ(request.kept.conditions.outdoor_c, 4);
  EXPECT_EQ(request.kept.from.run_id.view(), id);
  EXPECT_EQ(request.kept.from.sha256.view().size(), 64U);
  EXPECT_NEAR(request.kept.from.age_s, 60, 30);
  EXPECT_EQ(request.kept.directions, state_.record.directions);
  EXPECT_EQ(control::kept_refusal(request.run, request.kept), control::Refusal::accepted);
}

TEST_F(ResumeHandler, RefusesWhatIsOverTooOldOrNotThere) {
  state_.run_state = RunState::done;
  expect_problem(ask("POST", "/v1/runs/" + record(RunState::done, 60) + "/resume"), 409, "");
  state_.run_state = RunState::tripped;
  const std::string old = record(RunState::tripped, 3 * 3600);
  expect_problem(ask("POST", "/v1/runs/" + old + "/resume"), 409, "");
  expect_problem(ask("POST", "/v1/runs/" + record(RunState::tripped, -600) + "/resume"), 409, "");
  EXPECT_EQ(ask("POST", "/v1/runs/run-20200101-000000/resume").status, 404);
  EXPECT_TRUE(backend_.requests().empty());
}

TEST_F(ResumeHandler, SaysThatTheRunCannotBecomeAnother) {
  const std::string at = "/v1/runs/" + record(RunState::running, 60) + "/resume";
  expect_problem(ask("POST", at, R"({"procedure": "single-point"})"), 422, "procedure");
  expect_problem(ask("POST", at, R"({"direction": "both"})"), 422, "direction");
  expect_problem(ask("POST", at, R"({"building": {"volume_m3": 300}})"), 422, "building");
  expect_problem(ask("POST", at, R"({"conditions": {"outdoor_c": 400}})"), 422, "conditions.outdoor_c");
  EXPECT_TRUE(backend_.requests().empty());
}

}  // namespace leeward::daemon
