#include "daemon/cli/cli_options.hpp"

#include <algorithm>
#include <memory>

#include <CLI/CLI.hpp>

#include "daemon/cli/campaign_options.hpp"
#include "daemon/cli/command_notes.hpp"
#include "daemon/cli/command_outline.hpp"
#include "daemon/cli/contradiction.hpp"
#include "daemon/cli/outline_of.hpp"
#include "daemon/cli/program_options.hpp"
#include "daemon/cli/run_options.hpp"
#include "daemon/config/near_key.hpp"

namespace leeward::daemon {
namespace {

/// The option tree; what a parse found stands in `line`.
class OptionTree {
 public:
  OptionTree() : app_("Leeward drives a fan for building airtightness tests.", "leeward") {
    add_common();
    add_programs();
    add_looks();
    add_commands();
    add_runs();
    add_tools();
    app_.require_subcommand(0, 1);
    app_.set_help_all_flag("--help-all", "help of every command");
    app_.footer(exit_codes_text() + "\nleeward COMMAND --help explains a command, with an example.");
    for (CLI::App* sub : app_.get_subcommands({})) sub->footer(note_text(sub->get_name()));
  }

  ParsedLine parse(std::vector<std::string> arguments) {
    std::reverse(arguments.begin(), arguments.end());  // the parser takes them from the back
    try {
      app_.parse(arguments);
    } catch (const CLI::CallForHelp&) {
      line_.help = shown_app().help(&shown_app() == &app_ ? std::string() : app_.get_name());
    } catch (const CLI::CallForAllHelp&) {
      line_.help = app_.help("", CLI::AppFormatMode::All);
    } catch (const CLI::ExtrasError&) {
      line_.error = about_extra();
    } catch (const CLI::ParseError& error) {
      line_.error = error.what();
    }
    if (line_.error.empty() && line_.help.empty()) judge();
    if (!line_.error.empty() && line_.hint.empty())
      line_.hint = "leeward " + (app_.get_subcommands().empty() ? "" : shown_app().get_name() + " ") +
                   "--help shows what it takes";
    return line_;
  }

  ProgramOutline outline() const {
    ProgramOutline out{app_.get_description(), outline_of(app_).options, {}};
    for (const CLI::App* sub : app_.get_subcommands({})) out.commands.push_back(outline_of(*sub));
    return out;
  }

 private:
  const CLI::App& shown_app() const {
    const auto chosen = app_.get_subcommands();
    return chosen.empty() ? app_ : *chosen.front();
  }

  void judge() {
    if (wants_version_) line_.command = VersionCommand{};
    if (line_.command) line_.error = contradiction(*line_.command, line_.common);
    if (!line_.error.empty()) line_.command.reset();
    if (line_.command || !line_.error.empty()) return;
    line_.error = "a command is needed";
    line_.hint = "leeward --help lists them";
  }

  /// Words that nothing takes: most often an option misspelt.
  std::string about_extra() {
    const std::vector<std::string> left = app_.remaining(true);
    const std::string extra = left.empty() ? std::string() : left.front();
    const std::string whose = app_.get_subcommands().empty() ? "leeward" : shown_app().get_name();
    if (!extra.starts_with("-")) return whose + " takes nothing more: " + extra + " is too much";
    std::vector<std::string> known;
    for (const CLI::App* app : {&shown_app(), static_cast<const CLI::App*>(&app_)})
      for (const OptionOutline& option : outline_of(*app).options) known.push_back(option.name);
    const std::string_view meant = nearest_word(extra, known);
    return whose + " has no option " + extra +
           (meant.empty() ? std::string() : "; did you mean " + std::string(meant) + "?");
  }

  /// @returns where the options of the command write to; it becomes the command when it was named
  template <class T>
  std::pair<CLI::App*, T*> add(const char* name, const char* help, T initial = {}) {
    auto values = std::make_shared<T>(std::move(initial));
    CLI::App* sub = app_.add_subcommand(name, help);
    sub->fallthrough();
    sub->callback([this, values] { line_.command = *values; });
    return {sub, values.get()};
  }

  void add_common() {
    app_.add_flag("--json", line_.common.json, "print JSON, errors too: one object, watch one a line");
    app_.add_option("--socket", line_.common.target.socket, "socket of the daemon")->type_name(kFileLabel);
    auto* url = app_.add_option("--url", line_.common.target.url, "the daemon over TCP: http://HOST:PORT")
                    ->type_name("URL");
    app_.add_option("--token-file", line_.common.target.token_file, "file with the token for --url")
        ->type_name(kFileLabel)
        ->needs(url);
    app_.add_flag("--version", wants_version_, "name and version");
  }

  void add_programs() {
    const auto [serve, s] = add<ServeCommand>("serve", "the daemon");
    add_serve_options(serve, s);
    const auto [rig, r] = add<RigCommand>("rig", "virtual rig on Modbus TCP");
    add_rig_options(rig, r);
    auto [check, c] = add<CheckCommand>("check", "checks any of our files");
    check->add_option("FILE", c->files, "rig, fan, procedure, house, building, target or population files")
        ->required()
        ->type_name(kFileLabel);
    const auto [tune, t] = add<TuneCommand>("tune", "finds the regulator's gains on a simulated house");
    add_tune_options(tune, t);
  }

  void add_looks() {
    add<StatusCommand>("status", "how things stand");
    add<WatchCommand>("watch", "the same, live, until Ctrl-C");
    auto [procedures, p] =
        add<ProceduresCommand>("procedures", "the test procedures there are, or one explained");
    procedures->add_option("PROCEDURE", p->procedure, "name or file of the one to explain")
        ->type_name(kProcedureOrFileLabel);
    add<TargetsCommand>("targets", "the limits of codes and programmes there are");
    auto [replay, r] = add<ReplayCommand>("replay", "puts a recording through the engine again, bit for bit");
    replay->add_option("RECORDING", r->recording, "file or run id")->required()->type_name(kRunOrFileLabel);
    add_state(replay, &r->state);
    auto [recording, c] = add<RecordingCommand>("recording", "checks what a recording still holds");
    takes_words(recording->add_option("ACTION", c->action, "what is to be done with it"), {"check"})
        ->required();
    recording->add_option("RECORDING", c->recording, "file or run id")
        ->required()
        ->type_name(kRunOrFileLabel);
    add_state(recording, &c->state);
  }

  void add_commands() {
    auto [baseline, b] = add<BaselineCommand>("baseline", "takes the zero-flow pressure, fan covered");
    baseline->add_option("--seconds", b->seconds, "averaging time")->check(between(0, 3600, "s"));
    auto [hold, h] = add<HoldCommand>("hold", "holds a pressure; within a run and without PA: pauses it");
    hold->add_option("PA", h->target_pa, "size of the pressure, Pa")->check(between(0, 1000, "Pa"));
    add_hold_options(hold, h);
    auto [climb, c] = add<HoldCommand>("climb", "climbs gently to a pressure", HoldCommand{.is_climb = true});
    climb->add_option("PA", c->target_pa, "size of the pressure, Pa")
        ->required()
        ->check(between(0, 1000, "Pa"));
    climb->add_option("--rate", c->rate_pa_s, "Pa per second")->required()->check(between(0, 40, "Pa/s"));
    add_hold_options(climb, c);
    auto [learn, l] = add<RigLearnCommand>(
        "rig-learn", "finds out what the fan's drive and the gauges are like, below the look-round pressure");
    takes_words(learn->add_option("--direction", l->direction, "which way air is moved"),
                {"depressurize", "pressurize"});
    learn->add_option("--volume", l->volume_m3, "of the building, if known")->check(between(0, 1e7, "m3"));
    add<PlainCommand>("continue", "lets a paused run go on", PlainCommand{"continue"});
    add<PlainCommand>("here", "a sign of life, where the run asks for one", PlainCommand{"presence"});
    add<PlainCommand>("stop", "stops the fan, always", PlainCommand{"stop"});
    add<PlainCommand>("clear-trip", "clears a trip, once its cause is found", PlainCommand{"clear-trip"});
  }

  void add_runs() {
    const auto [run, r] = add<RunCommand>("run", "starts a run and follows it; Ctrl-C stops it");
    add_run_options(run, r);
    const auto [resume, g] =
        add<ResumeCommand>("resume", "goes on with a run that was interrupted, stopped or tripped");
    add_resume_options(resume, g);
    add<RunsCommand>("runs", "the runs there are");
    const auto [result, t] = add<ResultCommand>("result", "the result of a run");
    add_result_options(result, t);
    const auto [exported, e] = add<ExportCommand>("export", "writes the samples of a run");
    add_export_options(exported, e);
    const auto [report, p] = add<ReportCommand>("report", "writes the test report of a recording");
    add_report_options(report, p);
    const auto [analyse, a] =
        add<AnalyseCommand>("analyse", "analyses pressures and flows measured elsewhere");
    add_analyse_options(analyse, a);
    add<AsksCommand>("asks", "what the crew is asked to do");
    auto [answer, w] = add<AnswerCommand>("answer", "answers an ask, after doing it");
    answer->add_option("ASK_ID", w->ask_id, "as leeward asks lists them")->required()->type_name(kAskLabel);
    answer->add_option("ANSWER", w->answer, "done, or another one that the ask lists")
        ->required()
        ->type_name(kAnswerLabel);
  }

  void add_tools() {
    const auto [token, t] =
        add<TokenCommand>("token", "makes an access token for the network, shown once, also as a QR code");
    add_token_options(token, t);
    const auto [campaign, c] = add<CampaignCommand>("campaign", "runs the engine on many simulated houses");
    add_campaign_options(campaign, c);
    const auto [help, h] = add<HelpCommand>("help", "explains a command; the manual page, the completion");
    add_help_options(help, h);
  }

  CLI::App app_;
  ParsedLine line_;
  bool wants_version_ = false;
};

/// The first word that is no option, nor the value of one.
std::string first_word(const std::vector<std::string>& arguments) {
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    const std::string& argument = arguments[i];
    if (argument == "--socket" || argument == "--url" || argument == "--token-file") {
      ++i;
      continue;
    }
    if (!argument.starts_with("-")) return argument;
  }
  return {};
}
}  // namespace

ParsedLine parse_line(const std::vector<std::string>& arguments) {
  const std::string word = first_word(arguments);
  const std::vector<std::string> known = subcommand_names();
  if (!word.empty() && std::find(known.begin(), known.end(), word) == known.end()) {
    ParsedLine line;
    line.common.json = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
    const std::string_view meant = nearest_word(word, known);
    line.error = "there is no command " + word +
                 (meant.empty() ? std::string() : "; did you mean " + std::string(meant) + "?");
    line.hint = "leeward --help lists them";
    return line;
  }
  return OptionTree().parse(arguments);
}

std::vector<std::string> subcommand_names() {
  std::vector<std::string> names;
  for (const CommandOutline& command : program_outline().commands) names.push_back(command.name);
  return names;
}

ProgramOutline program_outline() { return OptionTree().outline(); }

}  // namespace leeward::daemon
