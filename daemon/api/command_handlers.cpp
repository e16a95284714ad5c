#include "daemon/api/command_handlers.hpp"

#include <nlohmann/json.hpp>

#include "daemon/api/checked_json.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {
using control::Request;
using control::RequestKind;

// What the engine takes; there the limit of the rig counts too.
constexpr NumberRule kTarget{1, 1000, "Pa", false};
constexpr NumberRule kRate{0.05, 20, "Pa/s", false};
constexpr NumberRule kHoldTime{1, 86400, "s", false};
constexpr NumberRule kBaselineTime{5, 600, "s", false};
constexpr NumberRule kVolume{0, 1e7, "m3", true};
constexpr NumberRule kTemperature{-60, 60, "C", false};
constexpr double kBaselineDefaultS = 30;

ApiResponse not_stepped(const SubmitOutcome& outcome) {
  switch (outcome.status) {
    case SubmitStatus::queue_full:
      return problem_response(
          {503, "queue_full", "too many requests are waiting", "", "try again in a second"});
    case SubmitStatus::overtaken:
      return problem_response({409, "overtaken_by_stop", "a stop came first, so this was dropped", "", ""});
    case SubmitStatus::recording_failed:
      return problem_response({503, "not_recording", "no recording could be opened: " + outcome.detail, "",
                               "make room on the disk, or check the permissions of the recordings folder"});
    case SubmitStatus::shutting_down:
    case SubmitStatus::stepped:
      break;
  }
  return problem_response({503, "shutting_down", "the daemon is shutting down", "", ""});
}

ApiResponse command_done(const SubmitOutcome& outcome) {
  nlohmann::json body = {{"accepted", true}};
  if (!outcome.run_id.empty()) body["run_id"] = outcome.run_id;
  return json_response(200, body);
}

/// An empty body counts as an empty object.
bool read_object(const ApiRequest& request, nlohmann::json& body, std::vector<Problem>& problems) {
  body = nlohmann::json::object();
  if (request.body.empty()) return true;
  const auto problem = parse_body(request.body, body);
  if (problem) problems.push_back(*problem);
  return !problem;
}

void submit_plain(const ApiContext& context, RequestKind kind, const Reply& reply) {
  Request command;
  command.kind = kind;
  submit_and_reply(context, command, reply, command_done);
}

void post_plain(const ApiContext& context, const ApiRequest& request, RequestKind kind, const Reply& reply) {
  nlohmann::json body;
  std::vector<Problem> problems;
  if (read_object(request, body, problems)) FieldReader(body, "", problems).refuse_unknown();
  if (!problems.empty()) return reply(problems_response(problems));
  submit_plain(context, kind, reply);
}

void read_direction(FieldReader& fields, Request& command) {
  const auto text = fields.text("direction", 32);
  if (!text) return;
  const auto direction = from_name<control::Direction>(*text);
  if (!direction)
    return fields.add_problem("direction", "out_of_range", "must be depressurize or pressurize");
  command.direction = *direction;
}

void read_hold_fields(FieldReader& fields, Request& command) {
  command.target_pa = fields.required_number("target_pa", kTarget);
  command.max_s = fields.number_or("max_s", kHoldTime, command.max_s);
  command.look_round_done = fields.boolean_or("look_round_done", false);
  command.volume_m3 = fields.number_or("volume_m3", kVolume, 0);
  auto& conditions = command.run.conditions;
  conditions.indoor_c = fields.number_or("indoor_c", kTemperature, conditions.indoor_c);
  conditions.outdoor_c = fields.number_or("outdoor_c", kTemperature, conditions.outdoor_c);
  read_direction(fields, command);
}

void submit_hold_or_climb(const ApiContext& context, const nlohmann::json& body, RequestKind kind,
                          const Reply& reply) {
  std::vector<Problem> problems;
  Request command;
  command.kind = kind;
  command.direction = context.backend.snapshot()->state.direction;
  FieldReader fields(body, "", problems);
  read_hold_fields(fields, command);
  if (kind == RequestKind::climb) command.rate_pa_s = fields.required_number("rate_pa_s", kRate);
  fields.refuse_unknown();
  if (!problems.empty()) return reply(problems_response(problems));
  submit_and_reply(context, command, reply, command_done);
}
}  // namespace

void submit_and_reply(const ApiContext& context, const Request& command, const Reply& reply,
                      const std::function<ApiResponse(const SubmitOutcome&)>& when_accepted) {
  auto judge = [&context, reply, when_accepted, command](const SubmitOutcome& outcome) {
    if (outcome.accepted()) return reply(when_accepted(outcome));
    if (outcome.status != SubmitStatus::stepped) return reply(not_stepped(outcome));
    reply(refusal_response(command, outcome.refusal, outcome.phase, context.backend.config()));
  };
  context.backend.submit(command, std::move(judge));
}

void post_baseline(const ApiContext& context, const ApiRequest& request, const PathArgs&,
                   const Reply& reply) {
  nlohmann::json body;
  std::vector<Problem> problems;
  Request command;
  command.kind = RequestKind::baseline;
  if (read_object(request, body, problems)) {
    FieldReader fields(body, "", problems);
    command.duration_s = fields.number_or("duration_s", kBaselineTime, kBaselineDefaultS);
    fields.refuse_unknown();
  }
  if (!problems.empty()) return reply(problems_response(problems));
  submit_and_reply(context, command, reply, command_done);
}

void post_hold(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  nlohmann::json body;
  std::vector<Problem> problems;
  if (!read_object(request, body, problems)) return reply(problems_response(problems));
  const bool is_running = context.backend.snapshot()->state.run_state == control::RunState::running;
  if (is_running && body.empty()) return submit_plain(context, RequestKind::pause, reply);
  submit_hold_or_climb(context, body, RequestKind::hold, reply);
}

void post_climb(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  nlohmann::json body;
  std::vector<Problem> problems;
  if (!read_object(request, body, problems)) return reply(problems_response(problems));
  submit_hold_or_climb(context, body, RequestKind::climb, reply);
}

void post_rig_learn(const ApiContext& context, const ApiRequest& request, const PathArgs&,
                    const Reply& reply) {
  nlohmann::json body;
  std::vector<Problem> problems;
  Request command;
  command.kind = RequestKind::learn_drive;
  command.direction = context.backend.snapshot()->state.direction;
  if (read_object(request, body, problems)) {
    FieldReader fields(body, "", problems);
    command.volume_m3 = fields.number_or("volume_m3", kVolume, 0);
    read_direction(fields, command);
    fields.refuse_unknown();
  }
  if (!problems.empty()) return reply(problems_response(problems));
  if (context.drives == nullptr || !context.drives->is_offered())
    return reply(problem_response({409, "not_offered",
                                   "this rig's file does not let its drive be found out by an experiment", "",
                                   kHowToOfferLearning}));
  submit_and_reply(context, command, reply, command_done);
}

void post_continue(const ApiContext& context, const ApiRequest& request, const PathArgs&,
                   const Reply& reply) {
  post_plain(context, request, RequestKind::resume, reply);
}

void post_presence(const ApiContext& context, const ApiRequest& request, const PathArgs&,
                   const Reply& reply) {
  post_plain(context, request, RequestKind::still_here, reply);
}

void post_stop(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  // Whatever the body says: nothing may stand between a person and the stop.
  submit_plain(context, RequestKind::stop, reply);
}

void post_clear_trip(const ApiContext& context, const ApiRequest& request, const PathArgs&,
                     const Reply& reply) {
  post_plain(context, request, RequestKind::clear_trip, reply);
}

}  // namespace leeward::daemon
