#include "daemon/cli/contradiction.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {

template <class T>
const T* as(const Command& command) {
  return std::get_if<T>(&command);
}

/// Of the commands that do their work here, those that a person could think to act on the other machine.
const char* name_of_local(const Command& command) {
  if (as<ServeCommand>(command) != nullptr) return "serve";
  if (as<RigCommand>(command) != nullptr) return "rig";
  if (as<ReplayCommand>(command) != nullptr) return "replay";
  if (as<RecordingCommand>(command) != nullptr) return "recording";
  if (as<AnalyseCommand>(command) != nullptr) return "analyse";
  if (as<TuneCommand>(command) != nullptr) return "tune";
  if (as<TargetsCommand>(command) != nullptr) return "targets";
  return as<ProceduresCommand>(command) != nullptr ? "procedures" : nullptr;
}

std::string about_target(const Command& command, const Target& target) {
  if (target.url.empty()) return {};
  if (!target.socket.empty()) return "--socket and --url name two daemons: give one of them";
  const char* local = name_of_local(command);
  if (local == nullptr) return {};
  return std::string(local) + " works on this machine and asks no daemon over --url: leave it away";
}

std::string state_of(const Command& command) {
  if (const auto* result = as<ResultCommand>(command)) return result->state;
  if (const auto* exported = as<ExportCommand>(command)) return exported->state;
  if (const auto* recording = as<RecordingCommand>(command)) return recording->state;
  const auto* replay = as<ReplayCommand>(command);
  return replay == nullptr ? std::string() : replay->state;
}

std::string about_state(const Command& command, const Target& target) {
  if (state_of(command).empty() || (target.url.empty() && target.socket.empty())) return {};
  return "--state reads the recordings of a folder, --socket and --url ask a daemon: give one of them";
}

std::string about_hold(const HoldCommand& hold) {
  const bool has_more = !hold.direction.empty() || hold.max_s || hold.look_round_done;
  if (hold.target_pa || !has_more) return {};
  return "hold without a pressure pauses a run where it is: give the pressure in Pa, or no other option";
}

std::string about_tune(const TuneCommand& tune) {
  if (tune.house.empty() || !tune.house_seed) return {};
  return "--house names a house and --seed draws one: give one of them";
}

std::string about_analyse(const AnalyseCommand& analyse) {
  if (analyse.is_template && !analyse.table.empty())
    return "--template prints an empty table: give it no file, or leave --template away";
  if (!analyse.is_template && analyse.table.empty())
    return "analyse needs a table: leeward analyse FILE.csv, or --template for one to fill in";
  return {};
}
}  // namespace

std::string contradiction(const Command& command, const CommonOptions& common) {
  if (std::string text = about_target(command, common.target); !text.empty()) return text;
  if (std::string text = about_state(command, common.target); !text.empty()) return text;
  if (const auto* hold = as<HoldCommand>(command)) return about_hold(*hold);
  if (const auto* tune = as<TuneCommand>(command)) return about_tune(*tune);
  if (const auto* analyse = as<AnalyseCommand>(command)) return about_analyse(*analyse);
  const auto* exported = as<ExportCommand>(command);
  if (exported != nullptr && exported->csv == "-" && common.json)
    return "--csv - and --json both want standard output: give --csv a file, or leave --json away";
  return {};
}

std::string condition_option(std::string key) {
  std::replace(key.begin(), key.end(), '_', '-');
  return "--" + key;
}

}  // namespace leeward::daemon
