#include "daemon/api/resume_handler.hpp"

#include "daemon/api/begin_run.hpp"
#include "daemon/api/checked_json.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/api/run_request.hpp"
#include "daemon/document/file_hash.hpp"
#include "daemon/recorder/broken_off.hpp"
#include "daemon/words/take_up_text.hpp"

namespace leeward::daemon {
namespace {

/// The daemon still writes it: the crew has not finished the restore list.
bool is_open(const Snapshot& snapshot, const std::string& id) {
  return snapshot.run_id == id && snapshot.recording != RecordingState::none;
}

control::Continuation named(const ApiContext& context, const std::string& id, double age_s) {
  control::Continuation out;
  out.run_id = std::string_view(id);
  out.age_s = age_s;
  // A file that is being written has no hash to name it by.
  if (is_open(*context.backend.snapshot(), id)) return out;
  const auto path = context.runs.path_of(id);
  fold_journal(path);
  if (const auto hash = hash_recording(path)) out.sha256 = std::string_view(hash->sha256);
  return out;
}

/// What the run is made of may not change in its middle.
void refuse_changes(FieldReader& top) {
  for (const char* key : {"procedure", "direction", "building"})
    if (top.any(key) != nullptr)
      top.add_problem(key, "cannot_change",
                      "belongs to the run that is gone on with and can't be another one",
                      "leave it out, or start a new run");
}

ApiResponse refused(const control::TakeUpVerdict& verdict, const std::string& id, double most_age_s) {
  return problem_response(
      {409, "cannot_take_up", take_up_text(verdict, id, most_age_s), "", take_up_hint(verdict.refusal)});
}

struct Asked {
  bool dry_run = false;
};

/// @param run  as it was; what may be told anew is changed in it
Asked read_resume_request(const std::string& text, control::RunSpec& run, std::vector<Problem>& problems) {
  Asked out;
  nlohmann::json body = nlohmann::json::object();
  if (const auto problem = text.empty() ? std::nullopt : parse_body(text, body)) {
    problems.push_back(*problem);
    return out;
  }
  FieldReader top(body, "", problems);
  refuse_changes(top);
  read_changed_conditions(top, run.conditions, problems);
  run.attended = top.boolean_or("attended", run.attended);
  out.dry_run = top.boolean_or("dry_run", false);
  top.refuse_unknown();
  return out;
}

}  // namespace

void post_run_resume(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                     const Reply& reply) {
  const std::string& id = args[0];
  std::vector<Problem> problems;
  control::RunSpec any_run;  // what is wrong with a body is said first, whatever the run
  (void)read_resume_request(request.body, any_run, problems);
  if (!problems.empty()) return reply(problems_response(problems));
  const auto path = context.runs.find(id);
  if (!path) return reply(unknown_run_response(id));
  auto broken = read_broken_off(*path);
  if (!broken)
    return reply(problem_response(
        {500, "unreadable", "the recording of " + id + " cannot be read: " + broken.error().text, "", ""}));
  const SnapshotPtr snapshot = context.backend.snapshot();
  if (snapshot->run_id == id && snapshot->state.run_state == control::RunState::running)
    broken->run.state = control::RunState::running;
  const double age_s = static_cast<double>(calendar_now_ms() - broken->end_unix_ms) / 1000;
  const auto verdict =
      control::may_take_up(broken->run, context.backend.config(), age_s, context.resume_within_s);
  if (verdict.refusal != control::TakeUpRefusal::none)
    return reply(refused(verdict, id, context.resume_within_s));
  control::Request command;
  command.kind = control::RequestKind::start_run;
  command.run = broken->run.run;
  const Asked asked = read_resume_request(request.body, command.run, problems);
  command.kept = control::kept_of(broken->run);
  command.kept.from = named(context, id, age_s);
  begin_run(context, command, asked.dry_run, reply);
}

}  // namespace leeward::daemon
