#include "daemon/api/ask_handlers.hpp"

#include <charconv>
#include <optional>

#include <nlohmann/json.hpp>

#include "daemon/api/checked_json.hpp"
#include "daemon/api/command_handlers.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/api/status_json.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kShownBytes = 40;

std::optional<std::int64_t> read_id(const std::string& text) {
  std::int64_t id = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), id);
  const bool is_id = error == std::errc{} && end == text.data() + text.size() && id > 0;
  return is_id ? std::optional(id) : std::nullopt;
}

Problem not_an_id(const std::string& text) {
  return {404, "unknown_ask",
          "\"" + text.substr(0, kShownBytes) + "\" is no ask's id: an id is a whole number, as 3", "ask_id",
          "GET /v1/asks lists the open asks"};
}
}  // namespace

void get_asks(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  reply(json_response(200, {{"asks", asks_json(*context.backend.snapshot(), context.backend.config())}}));
}

void post_ask(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
              const Reply& reply) {
  nlohmann::json body;
  std::vector<Problem> problems;
  control::Request command;
  command.kind = control::RequestKind::answer;
  const auto id = read_id(args[0]);
  if (!id) return reply(problem_response(not_an_id(args[0])));
  command.ask_id = *id;
  if (const auto problem = parse_body(request.body, body)) return reply(problem_response(*problem));
  FieldReader fields(body, "", problems);
  const auto text = fields.text("answer", 32);
  if (!fields.has("answer")) fields.missing("answer");
  if (text) {
    command.answer = from_name<control::Answer>(*text).value_or(control::Answer::none);
    if (command.answer == control::Answer::none)
      fields.add_problem("answer", "unknown_answer", "is not an answer that any ask takes",
                         "the ask lists the answers that it takes; every ask takes done");
  }
  fields.refuse_unknown();
  if (!problems.empty()) return reply(problems_response(problems));
  submit_and_reply(context, command, reply, [id = *id, text](const SubmitOutcome&) {
    return json_response(200, {{"accepted", true}, {"id", std::to_string(id)}, {"answer", *text}});
  });
}

}  // namespace leeward::daemon
