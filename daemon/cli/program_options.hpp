#pragma once
/// The options of the commands that need no run. Only cli_options.cpp includes it: it needs the option
/// parser.

#include <CLI/CLI.hpp>

#include "daemon/cli/commands.hpp"
#include "daemon/cli/option_checks.hpp"
#include "daemon/cli/option_labels.hpp"

namespace leeward::daemon {

inline void add_serve_options(CLI::App* serve, ServeCommand* s) {
  serve->add_option("--config", s->config, "rig file; without one the simulated rig")->type_name(kFileLabel);
  serve
      ->add_option("--listen", s->listen,
                   "HOST:PORT on the network too, as 0.0.0.0:8787; the rig file's [listen] otherwise")
      ->type_name("HOST:PORT");
}

inline void add_rig_options(CLI::App* rig, RigCommand* r) {
  rig->add_option("--house", r->house, "house file")->required()->type_name(kFileLabel);
  rig->add_option("--host", r->host, "address to listen on")->capture_default_str();
  rig->add_option("--port", r->port, "0: any free one")->check(CLI::Range(0, 65535))->capture_default_str();
  rig->add_option("--speed", r->speed, "simulated seconds per second")
      ->check(between(0, 1000, "x"))
      ->capture_default_str();
  rig->add_option("--seed", r->seed, "of wind and noise")->capture_default_str();
  rig->add_option("--auto-crew", r->auto_crew_s, "answer the daemon's asks after so many seconds")
      ->check(between(-1e-9, 86400, "s"));
  rig->add_flag("--tell-fan", r->tells_fan,
                "print a line with the monotonic clock whenever a drive begins or ceases to turn its fan");
}

inline void add_tune_options(CLI::App* tune, TuneCommand* t) {
  tune->add_option("RIG", t->rig, "rig file")->required()->type_name(kFileLabel);
  tune->add_option("--house", t->house, "house file; without it and --seed the rig's own simulated house")
      ->type_name(kFileLabel);
  tune->add_option("--seed", t->house_seed, "a random house, its wind and noise");
  tune->add_option("--pressure", t->pressure_pa, "hold about which the fan is moved, Pa")
      ->check(between(4, 250, "Pa"))
      ->capture_default_str();
  takes_names<TuneMethod>(
      tune, "--method", t->method,
      {{"relay", TuneMethod::relay}, {"step", TuneMethod::step}, {"model", TuneMethod::model}},
      "with model nothing is moved; relay when not told");
  takes_names<TuneRule>(
      tune, "--rule", t->rule,
      {{"simc", TuneRule::simc}, {"amigo", TuneRule::amigo}, {"amigo-pid", TuneRule::amigo_pid}},
      "simc when not told");
  tune->add_option("--out", t->out, "rig file to write, with the gains in it")->type_name(kFileLabel);
}

inline void add_hold_options(CLI::App* sub, HoldCommand* h) {
  takes_words(sub->add_option("--direction", h->direction, "which way air is moved"),
              {"depressurize", "pressurize"});
  sub->add_option("--max-s", h->max_s, "end after so many seconds")->check(between(0, 86400, "s"));
  sub->add_flag("--look-round-done", h->look_round_done,
                "someone has walked round at a low pressure and all is well");
}

inline void add_token_options(CLI::App* token, TokenCommand* t) {
  auto* name = token->add_option("NAME", t->name, "of the device or script, as phone");
  takes_names<bool>(token, "--role", t->is_viewer, {{"operator", false}, {"viewer", true}},
                    "a viewer may look, not command; operator when not told");
  auto* list = token->add_flag("--list", t->is_list, "name the tokens there are");
  token->add_option("--revoke", t->revoke, "end the token of this name")->excludes(name)->excludes(list);
  list->excludes(name);
  token->add_option("--config", t->config, "rig file of the daemon, for its token file and address")
      ->type_name(kFileLabel);
  token->add_option("--file", t->file, "file of the hashed tokens")->type_name(kFileLabel);
  token->add_option("--save", t->save, "write the token to this file as well, for --token-file")
      ->type_name(kFileLabel);
}

inline void add_help_options(CLI::App* help, HelpCommand* h) {
  auto* topic =
      help->add_option("COMMAND", h->topic, "the one to explain, or failures")->type_name(kCommandLabel);
  auto* man = help->add_flag("--man", h->is_man, "print the manual page, for man")->excludes(topic);
  help->add_flag("--markdown", h->is_markdown, "the table of failures for a document")
      ->needs(topic)
      ->excludes(man);
  takes_words(help->add_option("--completion", h->completion, "print the completion of this shell"), {"bash"})
      ->excludes(topic)
      ->excludes(man);
}

}  // namespace leeward::daemon
