#include "daemon/api/run_handlers.hpp"

#include <filesystem>
#include <memory>

#include <nlohmann/json.hpp>

#include "control/engine.hpp"
#include "daemon/api/begin_run.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/api/result_of.hpp"
#include "daemon/api/result_query.hpp"
#include "daemon/api/run_request.hpp"
#include "daemon/api/status_json.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {
using control::RunState;
using nlohmann::json;

/// The run that the daemon itself has in hand, or had last.
bool is_live(const Snapshot& snapshot, const std::string& id) { return snapshot.run_id == id; }

/// Only the daemon knows how far the run in hand is; a file that is being written says `interrupted`.
RunState state_of(const ApiContext& context, const RunEntry& entry) {
  const SnapshotPtr snapshot = context.backend.snapshot();
  return is_live(*snapshot, entry.id) ? run_state_of(*snapshot) : entry.state;
}

json entry_json(const ApiContext& context, const ApiRequest& request, const RunEntry& entry) {
  json out = {{"run_id", entry.id},
              {"id", entry.id},
              {"state", name_of(state_of(context, entry))},
              {"readable", entry.readable},
              {"procedure", entry.procedure},
              {"building", entry.building},
              {"started_at", utc_text(entry.started_unix_ms)}};
  // Who asks from elsewhere can do nothing with a path of this machine.
  if (request.is_local) out["recording"] = std::filesystem::absolute(context.runs.path_of(entry.id)).string();
  return out;
}

ApiResponse unreadable(const std::string& id, const control::Error& error) {
  return problem_response(
      {500, "unreadable", "the recording of " + id + " cannot be read: " + error.text, "", ""});
}

ApiResponse not_over(const ApiContext& context, const std::string& id) {
  const auto phase = context.backend.snapshot()->state.phase;
  json body = problem_json({409, "not_over", "the run " + id + " has not ended", "", "follow /v1/stream"});
  body["phase"] = name_of(phase);
  ApiResponse response = json_response(409, body);
  response.content_type = "application/problem+json";
  return response;
}

std::optional<RunEntry> find_entry(const ApiContext& context, const std::string& id) {
  if (!context.runs.find(id)) return std::nullopt;
  for (RunEntry& entry : context.runs.list())
    if (entry.id == id) return std::move(entry);
  return std::nullopt;
}

ApiResponse asked_result(json result, const ResultQuery& query) {
  std::vector<Problem> problems;
  add_asked(result, query, problems);
  if (!problems.empty()) return problems_response(problems);
  ApiResponse response = json_response(200, std::move(result));
  response.may_be_kept = true;  // the run is over
  return response;
}
}  // namespace

void post_run(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  std::vector<Problem> problems;
  const RunRequest asked = read_run_request(request.body, problems);
  if (!problems.empty()) return reply(problems_response(problems));
  control::Request command;
  command.kind = control::RequestKind::start_run;
  command.run = asked.run;
  begin_run(context, command, asked.dry_run, reply);
}

void get_runs(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  json runs = json::array();
  for (const RunEntry& entry : context.runs.list()) runs.push_back(entry_json(context, request, entry));
  reply(json_response(200, {{"runs", std::move(runs)}}));
}

void get_run(const ApiContext& context, const ApiRequest& request, const PathArgs& args, const Reply& reply) {
  const auto entry = find_entry(context, args[0]);
  if (!entry) return reply(unknown_run_response(args[0]));
  json body = entry_json(context, request, *entry);
  const SnapshotPtr snapshot = context.backend.snapshot();
  if (is_live(*snapshot, args[0])) body["phase"] = name_of(snapshot->state.phase);
  reply(json_response(200, body));
}

void get_run_result(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply) {
  const std::string& id = args[0];
  std::vector<Problem> problems;
  const ResultQuery query = read_result_query(request.query, problems);
  if (!problems.empty()) return reply(problems_response(problems));
  const auto entry = find_entry(context, id);
  if (!entry) return reply(unknown_run_response(id));
  if (state_of(context, *entry) == RunState::running) return reply(not_over(context, id));
  const SnapshotPtr snapshot = context.backend.snapshot();
  // The last run is still in memory, and newer there than on the disk.
  const bool is_in_memory = is_live(*snapshot, id) && snapshot->is_run;
  if (is_in_memory) return reply(asked_result(result_of(*snapshot, context.backend.config()), query));
  const auto result = result_of_recording(context.runs.path_of(id));
  if (!result && result.error().code == control::Errc::missing_key)
    return reply(problem_response(
        {409, "no_result", "the run " + id + " has no result: it took no averages", "", ""}));
  if (!result) return reply(unreadable(id, result.error()));
  reply(asked_result(*result, query));
}

void get_run_samples(const ApiContext& context, const ApiRequest&, const PathArgs& args, const Reply& reply) {
  const std::string& id = args[0];
  const auto path = context.runs.find(id);
  if (!path) return reply(unknown_run_response(id));
  auto csv = samples_of_recording(*path);
  if (!csv) return reply(unreadable(id, csv.error()));
  ApiResponse response;
  response.content_type = "text/csv; charset=utf-8";
  response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + id + ".csv\"");
  response.body = std::move(*csv);
  reply(std::move(response));
}

}  // namespace leeward::daemon
