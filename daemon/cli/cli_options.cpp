#include "daemon/cli/cli_options.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

#include <CLI/CLI.hpp>

#include "daemon/cli/campaign_options.hpp"
#include "daemon/cli/contradiction.hpp"
#include "daemon/cli/option_checks.hpp"
#include "daemon/config/key_rules.hpp"
#include "daemon/config/near_key.hpp"

namespace leeward::daemon {
namespace {

constexpr const char* kStateHelp =
    "folder of the recordings, or the daemon's state folder; no daemon is asked";

/// The option tree; what a parse found stands in `line`.
class OptionTree {
 public:
  OptionTree() : app_("Leeward drives a fan for building airtightness tests.", "leeward") {
    add_common();
    add_programs();
    add_tune();
    add_looks();
    add_commands();
    add_runs();
    add_report();
    add_analyse();
    add_crew();
    add_token();
    const auto [campaign, c] = add<CampaignCommand>("campaign", "runs the engine on many simulated houses");
    add_campaign_options(campaign, c);
    app_.require_subcommand(0, 1);
    app_.set_help_all_flag("--help-all", "help of every command");
  }

  ParsedLine parse(std::vector<std::string> arguments) {
    std::reverse(arguments.begin(), arguments.end());  // the parser takes them from the back
    try {
      app_.parse(arguments);
    } catch (const CLI::CallForHelp&) {
      line_.help = shown_app().help();
    } catch (const CLI::CallForAllHelp&) {
      line_.help = app_.help("", CLI::AppFormatMode::All);
    } catch (const CLI::ParseError& error) {
      line_.error = error.what();
    }
    if (!line_.error.empty() || !line_.help.empty()) return line_;
    if (wants_version_) line_.command = VersionCommand{};
    if (line_.command) line_.error = contradiction(*line_.command, line_.common);
    if (!line_.error.empty()) line_.command.reset();
    if (!line_.command && line_.error.empty()) line_.error = "a command is needed: leeward --help lists them";
    return line_;
  }

  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const CLI::App* sub : app_.get_subcommands({})) out.push_back(sub->get_name());
    return out;
  }

 private:
  const CLI::App& shown_app() const {
    const auto chosen = app_.get_subcommands();
    return chosen.empty() ? app_ : *chosen.front();
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
    app_.add_flag("--json", line_.common.json, "print one JSON object, errors too");
    app_.add_option("--socket", line_.common.target.socket, "socket of the daemon");
    auto* url = app_.add_option("--url", line_.common.target.url, "the daemon over TCP: http://HOST:PORT");
    app_.add_option("--token-file", line_.common.target.token_file, "file with the token for --url")
        ->needs(url);
    app_.add_flag("--version", wants_version_, "name and version");
  }

  void add_programs() {
    auto [serve, s] = add<ServeCommand>("serve", "the daemon");
    serve->add_option("--config", s->config, "rig file; without one the simulated rig");
    serve->add_option("--listen", s->listen,
                      "HOST:PORT on the network too, as 0.0.0.0:8787; the rig file's [listen] otherwise");
    auto [rig, r] = add<RigCommand>("rig", "virtual rig on Modbus TCP");
    rig->add_option("--house", r->house, "house file")->required();
    rig->add_option("--host", r->host, "address to listen on")->capture_default_str();
    rig->add_option("--port", r->port, "0: any free one")->check(CLI::Range(0, 65535))->capture_default_str();
    rig->add_option("--speed", r->speed, "simulated seconds per second")
        ->check(between(0, 1000, "x"))
        ->capture_default_str();
    rig->add_option("--seed", r->seed, "of wind and noise")->capture_default_str();
    rig->add_option("--auto-crew", r->auto_crew_s, "answer the daemon's asks after so many seconds")
        ->check(between(-1e-9, 86400, "s"));
    auto [check, c] = add<CheckCommand>("check", "checks any of our files");
    check->add_option("FILE", c->files, "rig, fan, procedure, house, building, target or population files")
        ->required();
  }

  void add_tune() {
    auto [tune, t] = add<TuneCommand>("tune", "finds the regulator's gains on a simulated house");
    tune->add_option("RIG", t->rig, "rig file")->required();
    tune->add_option("--house", t->house, "house file; without it and --seed the rig's own simulated house");
    tune->add_option("--seed", t->house_seed, "a random house, its wind and noise");
    tune->add_option("--pressure", t->pressure_pa, "hold about which the fan is moved")
        ->check(between(4, 250, "Pa"))
        ->capture_default_str();
    const std::map<std::string, TuneMethod> methods{
        {"relay", TuneMethod::relay}, {"step", TuneMethod::step}, {"model", TuneMethod::model}};
    tune->add_option("--method", t->method, "relay, step or model (nothing is moved); relay when not told")
        ->transform(CLI::CheckedTransformer(methods));
    const std::map<std::string, TuneRule> rules{
        {"simc", TuneRule::simc}, {"amigo", TuneRule::amigo}, {"amigo-pid", TuneRule::amigo_pid}};
    tune->add_option("--rule", t->rule, "simc, amigo or amigo-pid; simc when not told")
        ->transform(CLI::CheckedTransformer(rules));
    tune->add_option("--out", t->out, "rig file to write, with the gains in it");
  }

  void add_looks() {
    add<StatusCommand>("status", "how things stand");
    add<WatchCommand>("watch", "the same, live, until Ctrl-C");
    auto [procedures, p] =
        add<ProceduresCommand>("procedures", "the test procedures there are, or one explained");
    procedures->add_option("PROCEDURE", p->procedure, "name or file of the one to explain");
    add<TargetsCommand>("targets", "the limits of codes and programmes there are");
    auto [replay, r] = add<ReplayCommand>("replay", "puts a recording through the engine again, bit for bit");
    replay->add_option("RECORDING", r->recording, "file or run id")->required();
    replay->add_option("--state", r->state, "folder of the recordings, or the daemon's state folder");
  }

  void add_hold_options(CLI::App* sub, HoldCommand* h) {
    sub->add_option("--direction", h->direction, "depressurize or pressurize")
        ->check(CLI::IsMember({"depressurize", "pressurize"}));
    sub->add_option("--max-s", h->max_s, "end after so many seconds")->check(between(0, 86400, "s"));
    sub->add_flag("--look-round-done", h->look_round_done,
                  "someone has walked round at a low pressure and all is well");
  }

  void add_commands() {
    auto [baseline, b] = add<BaselineCommand>("baseline", "takes the zero-flow pressure, fan covered");
    baseline->add_option("--seconds", b->seconds, "averaging time")->check(between(0, 3600, "s"));
    auto [hold, h] = add<HoldCommand>("hold", "holds a pressure; within a run and without PA: pauses it");
    hold->add_option("PA", h->target_pa, "size of the pressure")->check(between(0, 1000, "Pa"));
    add_hold_options(hold, h);
    auto [climb, c] = add<HoldCommand>("climb", "climbs gently to a pressure", HoldCommand{.is_climb = true});
    climb->add_option("PA", c->target_pa, "size of the pressure")->required()->check(between(0, 1000, "Pa"));
    climb->add_option("--rate", c->rate_pa_s, "Pa per second")->required()->check(between(0, 40, "Pa/s"));
    add_hold_options(climb, c);
    auto [learn, l] = add<RigLearnCommand>(
        "rig-learn", "finds out what the fan's drive and the gauges are like, below the look-round pressure");
    learn->add_option("--direction", l->direction, "depressurize or pressurize")
        ->check(CLI::IsMember({"depressurize", "pressurize"}));
    learn->add_option("--volume", l->volume_m3, "of the building, if known")->check(between(0, 1e7, "m3"));
    add<PlainCommand>("continue", "lets a paused run go on", PlainCommand{"continue"});
    add<PlainCommand>("stop", "stops the fan, always", PlainCommand{"stop"});
    add<PlainCommand>("clear-trip", "clears a trip, once its cause is found", PlainCommand{"clear-trip"});
  }

  void add_runs() {
    auto [run, r] = add<RunCommand>("run", "starts a run and follows it; Ctrl-C stops it");
    run->add_option("PROCEDURE", r->procedure, "name, as leeward procedures lists them")->required();
    run->add_option("--building", r->building, "building file")->required();
    run->add_option("--direction", r->direction, "depressurize, pressurize or both")
        ->check(CLI::IsMember({"depressurize", "pressurize", "both"}));
    run->add_flag("--unattended", r->is_unattended,
                  "nobody is in the building: no look-round is asked, and a program answers the rest");
    run->add_flag("--dry-run", r->is_dry_run, "only check whether it could start");
    add_conditions(run, r);
    add_face(run, &r->face);
    add<RunsCommand>("runs", "the runs there are");
    auto [result, t] = add<ResultCommand>("result", "the result of a run");
    result->add_option("RUN", t->run, "run id")->required();
    result->add_option("--state", t->state, kStateHelp);
    add_face(result, &t->face);
    auto [exported, e] = add<ExportCommand>("export", "writes the samples of a run");
    exported->add_option("RUN", e->run, "run id")->required();
    exported->add_option("--csv", e->csv, "file to write, - for standard output")->required();
    exported->add_option("--state", e->state, kStateHelp);
  }

  void add_analyse() {
    auto [analyse, a] = add<AnalyseCommand>("analyse", "analyses pressures and flows measured elsewhere");
    analyse->add_option("FILE", a->table, "table of comma-separated values");
    analyse->add_flag("--template", a->is_template, "print a commented table to fill in");
    analyse->add_option("--procedure", a->procedure, "name or file; its fit and limits are used")
        ->capture_default_str();
    analyse->add_option("--building", a->building, "building file: sizes, air, targets");
    analyse->add_option("--direction", a->direction, "depressurize, pressurize or both")
        ->check(CLI::IsMember({"depressurize", "pressurize", "both"}));
    analyse
        ->add_option("--calibration-density-kg-m3", a->calibration_density_kg_m3,
                     "air for which the flows were calibrated")
        ->check(between(0.5, 2, "kg/m3"))
        ->capture_default_str();
    analyse
        ->add_option(condition_option(kGaugeAccuracyKey.rule.key), a->building_gauge_accuracy_frac,
                     kGaugeAccuracyKey.rule.help)
        ->check(within(kGaugeAccuracyKey.rule))
        ->capture_default_str();
    add_conditions(analyse, a);
    add_face(analyse, &a->face);
  }

  void add_face(CLI::App* sub, FaceOptions* face) {
    sub->add_option("--units", face->units, "si, metric or ip")
        ->check(CLI::IsMember({"si", "metric", "ip"}))
        ->capture_default_str();
    sub->add_option("--target", face->targets,
                    "limits to hold the result against, as leeward targets lists them")
        ->delimiter(',');
    sub->add_option("--decision", face->decision,
                    "simple: the figure keeps the limit; guarded: its 95 % bound does")
        ->check(CLI::IsMember({"simple", "guarded"}))
        ->capture_default_str();
  }

  /// The weather of the day, as the building file may hold it.
  template <class T>
  void add_conditions(CLI::App* run, T* values) {
    for (const auto& key : kConditionsKeys) {
      const std::string name = key.rule.key;
      run->add_option_function<double>(
             condition_option(name), [values, name](double value) { values->conditions[name] = value; },
             key.rule.help)
          ->check(within(key.rule));
    }
  }

  void add_report() {
    auto [report, r] = add<ReportCommand>("report", "writes the test report of a recording");
    report->add_option("RUN", r->run, "run id or file of a recording")->required();
    report->add_option("--state", r->state, kStateHelp);
    report->add_option("--pdf", r->pdf, "file to write");
    report->add_option("--svg", r->svg, "folder for the pictures as SVG");
    report->add_option("--png", r->png, "folder for the pictures as PNG");
    const std::map<std::string, Paper> papers{{"a4", Paper::a4}, {"letter", Paper::letter}};
    report->add_option("--paper", r->options.paper, "a4 or letter; a4 when not told")
        ->transform(CLI::CheckedTransformer(papers));
    const std::map<std::string, UnitSystem> systems{
        {"si", UnitSystem::si}, {"metric", UnitSystem::metric}, {"ip", UnitSystem::ip}};
    report->add_option("--units", r->options.units, "si, metric or ip; metric when not told")
        ->transform(CLI::CheckedTransformer(systems));
    add_particulars(report, &r->options.particulars);
  }

  /// What is not told becomes a line to write on.
  static void add_particulars(CLI::App* report, Particulars* p) {
    for (const ParticularKey& key : kParticulars)
      report->add_option("--" + std::string(key.key), p->*key.member, key.help)
          ->check([&key](const std::string& text) { return particular_fault(key, text); });
  }

  void add_crew() {
    add<AsksCommand>("asks", "what the crew is asked to do");
    auto [answer, a] = add<AnswerCommand>("answer", "answers an ask, after doing it");
    answer->add_option("ASK_ID", a->ask_id)->required();
    answer->add_option("ANSWER", a->answer, "done, or another one that the ask lists")->required();
  }

  void add_token() {
    auto [token, t] =
        add<TokenCommand>("token", "makes an access token for the network, shown once, also as a QR code");
    auto* name = token->add_option("NAME", t->name, "of the device or script, as phone");
    const std::map<std::string, bool> roles{{"operator", false}, {"viewer", true}};
    token->add_option("--role", t->is_viewer, "operator or viewer; operator when not told")
        ->transform(CLI::CheckedTransformer(roles));
    auto* list = token->add_flag("--list", t->is_list, "name the tokens there are");
    token->add_option("--revoke", t->revoke, "end the token of this name")->excludes(name)->excludes(list);
    list->excludes(name);
    token->add_option("--config", t->config, "rig file of the daemon, for its token file and address");
    token->add_option("--file", t->file, "file of the hashed tokens");
    token->add_option("--save", t->save, "write the token to this file as well, for --token-file");
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
    line.error =
        "there is no command " + word +
        (meant.empty() ? "; leeward --help lists them" : "; did you mean " + std::string(meant) + "?");
    return line;
  }
  return OptionTree().parse(arguments);
}

std::vector<std::string> subcommand_names() { return OptionTree().names(); }

}  // namespace leeward::daemon
