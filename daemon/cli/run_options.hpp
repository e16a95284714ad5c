#pragma once
/// The options of the commands around a run and its result. Only cli_options.cpp includes it: it needs the
/// option parser.

#include <CLI/CLI.hpp>

#include "daemon/cli/commands.hpp"
#include "daemon/cli/contradiction.hpp"
#include "daemon/cli/option_checks.hpp"
#include "daemon/cli/option_labels.hpp"
#include "daemon/config/key_rules.hpp"

namespace leeward::daemon {

inline constexpr const char* kStateHelp =
    "folder of the recordings, or the daemon's state folder; no daemon is asked";

inline void add_state(CLI::App* sub, std::string* state) {
  sub->add_option("--state", *state, kStateHelp)->type_name(kFolderLabel);
}

inline void add_face(CLI::App* sub, FaceOptions* face) {
  takes_words(sub->add_option("--units", face->units, "of the tables"), {"si", "metric", "ip"})
      ->capture_default_str();
  sub->add_option("--target", face->targets,
                  "limits to hold the result against, as leeward targets lists them, with commas between")
      ->delimiter(',')
      ->type_name(kTargetsLabel);
  takes_words(sub->add_option("--decision", face->decision,
                              "simple: the figure keeps the limit; guarded: its 95 % bound does"),
              {"simple", "guarded"})
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

inline void add_run_options(CLI::App* run, RunCommand* r) {
  run->add_option("PROCEDURE", r->procedure, "name, as leeward procedures lists them")
      ->required()
      ->type_name(kProcedureLabel);
  run->add_option("--building", r->building, "building file")->required()->type_name(kFileLabel);
  takes_words(
      run->add_option("--direction", r->direction, "which way air is moved; the procedure's when not told"),
      {"depressurize", "pressurize", "both"});
  run->add_flag("--unattended", r->is_unattended,
                "nobody is in the building: no look-round is asked, and a program answers the rest");
  run->add_option("--presence", r->presence_s, kPresenceKey.help)->check(within(kPresenceKey));
  run->add_flag("--dry-run", r->is_dry_run, "only check whether it could start");
  add_conditions(run, r);
  add_face(run, &r->face);
}

inline void add_resume_options(CLI::App* resume, ResumeCommand* r) {
  resume->add_option("RUN", r->run, "run id, as leeward runs lists them")->required()->type_name(kRunLabel);
  resume->add_flag("--dry-run", r->is_dry_run, "only check whether it could go on");
  add_conditions(resume, r);
  add_face(resume, &r->face);
}

inline void add_result_options(CLI::App* result, ResultCommand* r) {
  result->add_option("RUN", r->run, "run id")->required()->type_name(kRunLabel);
  add_state(result, &r->state);
  add_face(result, &r->face);
}

inline void add_export_options(CLI::App* exported, ExportCommand* e) {
  exported->add_option("RUN", e->run, "run id")->required()->type_name(kRunLabel);
  exported->add_option("--csv", e->csv, "file to write, - for standard output")
      ->required()
      ->type_name(kFileLabel);
  add_state(exported, &e->state);
}

inline void add_analyse_options(CLI::App* analyse, AnalyseCommand* a) {
  analyse->add_option("FILE", a->table, "table of comma-separated values")->type_name(kFileLabel);
  analyse->add_flag("--template", a->is_template, "print a commented table to fill in");
  analyse->add_option("--procedure", a->procedure, "name or file; its fit and limits are used")
      ->capture_default_str()
      ->type_name(kProcedureOrFileLabel);
  analyse->add_option("--building", a->building, "building file: sizes, air, targets")->type_name(kFileLabel);
  takes_words(analyse->add_option("--direction", a->direction, "of what was measured"),
              {"depressurize", "pressurize", "both"});
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

inline void add_report_options(CLI::App* report, ReportCommand* r) {
  report->add_option("RUN", r->run, "run id, or file of a recording")->required()->type_name(kRunOrFileLabel);
  add_state(report, &r->state);
  report->add_option("--pdf", r->pdf, "file to write")->type_name(kFileLabel);
  report->add_option("--svg", r->svg, "folder for the pictures as SVG")->type_name(kFolderLabel);
  report->add_option("--png", r->png, "folder for the pictures as PNG")->type_name(kFolderLabel);
  takes_names<Paper>(report, "--paper", r->options.paper, {{"a4", Paper::a4}, {"letter", Paper::letter}},
                     "a4 when not told");
  takes_names<UnitSystem>(report, "--units", r->options.units,
                          {{"si", UnitSystem::si}, {"metric", UnitSystem::metric}, {"ip", UnitSystem::ip}},
                          "metric when not told");
  // What is not told becomes a line to write on.
  for (const ParticularKey& key : kParticulars)
    report->add_option("--" + std::string(key.key), r->options.particulars.*key.member, key.help)
        ->check([&key](const std::string& text) { return particular_fault(key, text); });
}

}  // namespace leeward::daemon
