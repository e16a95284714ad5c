#include "daemon/api/begin_run.hpp"

#include <memory>

#include <nlohmann/json.hpp>

#include "control/engine.hpp"
#include "control/procedure/kept_run.hpp"
#include "daemon/api/command_handlers.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/silence_text.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

void add_kept(json& body, const control::KeptRun& kept) {
  if (!kept.any()) return;
  std::size_t stations = 0;
  for (const control::DirectionRecord& direction : kept.directions) stations += direction.stations.size();
  body["continues"] = std::string(kept.from.run_id.view());
  body["stations_kept"] = stations;
}

/// What the engine would say to a start now. Its step is a pure function, so a copy of it can be asked.
ApiResponse dry_run_response(const ApiContext& context, const control::Request& start) {
  const SnapshotPtr snapshot = context.backend.snapshot();
  const control::EngineConfig& config = context.backend.config();
  const auto state = std::make_unique<control::EngineState>(snapshot->state);
  const auto output = control::Engine(config).step(*state, snapshot->sample, {&start, 1});
  if (output.refusals.empty() || output.refusals[0] != control::Refusal::accepted) {
    const auto refusal = output.refusals.empty() ? control::Refusal::busy : output.refusals[0];
    return refusal_response(start, refusal, snapshot->state.phase, config);
  }
  json body = {{"dry_run", true},
               {"procedure", std::string(start.run.procedure.id.view())},
               {"direction", name_of(start.run.direction)},
               {"stations", start.run.procedure.stations_pa.size()}};
  add_kept(body, start.kept);
  return json_response(200, body);
}

/// The engine knows the rig file; whether the drive took what it says is known here.
bool may_run_on(const ApiContext& context, const control::RunSpec& run) {
  return !run.attended && context.backend.config().silence_stop == control::SilenceStop::device_timeout &&
         context.backend.device_health().timeout_refused;
}
}  // namespace

void begin_run(const ApiContext& context, const control::Request& command, bool dry_run, const Reply& reply) {
  if (may_run_on(context, command.run))
    return reply(problem_response(
        {422, "unattended_refused", silence_text(control::SilenceStop::device_timeout, true), "attended",
         "start the run attended, or mend fan_timeout_s and the channel of the time-out in the rig file"}));
  if (dry_run) return reply(dry_run_response(context, command));
  submit_and_reply(context, command, reply, [kept = command.kept](const SubmitOutcome& outcome) {
    json body = {{"run_id", outcome.run_id}};
    add_kept(body, kept);
    ApiResponse response = json_response(201, body);
    response.headers.emplace_back("Location", "/v1/runs/" + outcome.run_id);
    return response;
  });
}

}  // namespace leeward::daemon
