#include <nlohmann/json.hpp>

#include "control/guard/failure_table.hpp"
#include "daemon/cli/bash_completion.hpp"
#include "daemon/cli/cli_options.hpp"
#include "daemon/cli/command_notes.hpp"
#include "daemon/cli/command_outline.hpp"
#include "daemon/cli/man_page.hpp"
#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/words/failure_text.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/trip_text.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

json options_json(const std::vector<OptionOutline>& options) {
  json list = json::array();
  for (const OptionOutline& option : options)
    list.push_back({{"name", option.name},
                    {"value", option.label.empty() ? json(nullptr) : json(option.label)},
                    {"help", option.help},
                    {"default", option.preset.empty() ? json(nullptr) : json(option.preset)},
                    {"required", option.is_required},
                    {"repeated", option.is_repeated}});
  return list;
}

json command_json(const CommandOutline& command) {
  json out = {{"name", command.name},
              {"help", command.help},
              {"arguments", options_json(command.positionals)},
              {"options", options_json(command.options)}};
  if (const CommandNote* note = note_of(command.name)) {
    out["about"] = note->about;
    out["caution"] = note->caution;
    out["example"] = note->example;
  }
  return out;
}

json program_json(const ProgramOutline& program, const std::string& topic) {
  json commands = json::array();
  for (const CommandOutline& command : program.commands)
    if (topic.empty() || command.name == topic) commands.push_back(command_json(command));
  json codes = json::array();
  for (const ExitCodeMeaning& line : kExitCodes)
    codes.push_back({{"code", static_cast<int>(line.code)}, {"meaning", line.meaning}});
  return {{"options", options_json(program.options)},
          {"commands", std::move(commands)},
          {"exit_codes", std::move(codes)}};
}
json failures_json() {
  json list = json::array();
  for (const control::FailureRow& row : control::failure_table())
    list.push_back(
        {{"cause", row.cause},
         {"seen", row.seen},
         {"after", row.after},
         {"done", control::reaction_text(row.reaction)},
         {"clears", row.clears},
         {"told", row.trip == control::TripCause::none ? std::string(row.told) : trip_advice(row.trip)},
         {"trip", name_of(row.trip)},
         {"watched_by", control::watcher_text(row.watcher)}});
  return list;
}

}  // namespace

int run_command(const HelpCommand& command, const CommonOptions& common) {
  if (command.topic == "failures") {
    if (common.json)
      print_json({{"failures", failures_json()}});
    else
      print_text(command.is_markdown ? failure_markdown() : failure_text());
    return exit_done;
  }
  if (command.is_markdown)
    return report_failure(common.json, {exit_usage, "usage", "only the failures come as a table",
                                        "as in: leeward help failures --markdown"});
  const ParsedLine line =
      command.topic.empty() ? parse_line({"--help"}) : parse_line({command.topic, "--help"});
  if (line.help.empty()) return report_failure(common.json, {exit_usage, "usage", line.error, line.hint});
  if (common.json) {
    print_json(program_json(program_outline(), command.topic));
  } else if (command.is_man) {
    print_text(man_page(program_outline()));
  } else if (!command.completion.empty()) {
    print_text(bash_completion(program_outline()));
  } else {
    print_text(line.help);
  }
  return exit_done;
}

}  // namespace leeward::daemon
