#pragma once
/// The options of `leeward campaign`. Only cli_options.cpp includes it: it needs the option parser.

#include <CLI/CLI.hpp>
#include <cstdio>
#include <string>
#include <vector>

#include "daemon/cli/commands.hpp"
#include "daemon/cli/option_labels.hpp"

namespace leeward::daemon {

/// "2/8"
inline std::string read_shard(const std::string& text, CampaignCommand& command) {
  int index = 0;
  int count = 0;
  char rest = 0;
  const bool is_pair = std::sscanf(text.c_str(), "%d/%d%c", &index, &count, &rest) == 2;
  if (!is_pair || index < 1 || count < index || count > 10'000)
    return "must be I/K with I from 1 to K, for example 2/8, got " + text;
  command.shard = index;
  command.shards = count;
  return {};
}

inline void add_campaign_options(CLI::App* campaign, CampaignCommand* c) {
  auto* population =
      campaign->add_option("POPULATION", c->population, "population file")->type_name(kFileLabel);
  auto* faults =
      campaign
          ->add_option_function<std::vector<std::string>>(
              "--faults",
              [c](const std::vector<std::string>& file) {
                c->is_of_faults = true;
                if (!file.empty()) c->population = file[0];
              },
              "faults staged in whole tests; without FILE: populations/faults.toml, which comes along")
          ->type_name(kFileLabel)
          ->expected(0, 1)
          ->excludes(population);
  auto* runs = campaign->add_option("--runs", c->runs, "houses of each scenario and wind class")
                   ->check(CLI::Range(1, 1'000'000))
                   ->capture_default_str();
  auto* seed = campaign->add_option("--seed", c->seed, "of the first house; the next has the next")
                   ->capture_default_str();
  campaign->add_option("--threads", c->threads, "0: one for each core")
      ->check(CLI::Range(0, 1024))
      ->capture_default_str();
  campaign->add_option("--out", c->out, "folder for summary.json, runs.csv, plots.svg and the runs so far")
      ->type_name(kFolderLabel);
  auto* resume = campaign->add_flag("--resume", c->is_resumed, "go on with what is stored in --out");
  auto* shard = campaign
                    ->add_option_function<std::string>(
                        "--shard", [](const std::string&) {}, "part I of K of the houses, as I/K")
                    ->type_name("I/K")
                    ->check([c](const std::string& text) { return read_shard(text, *c); });
  campaign->add_option("--against", c->against, "compare with a rig file's regulator, or with name=value,...")
      ->type_name(kFileLabel);
  campaign->add_option("--only", c->only, "the one house of this seed")
      ->excludes(runs)
      ->excludes(seed)
      ->excludes(shard);
  campaign->add_option("--merge", c->merge, "folders of all shards, to put together")
      ->type_name(kFolderLabel)
      ->excludes(population)
      ->excludes(faults)
      ->excludes(resume);
}

}  // namespace leeward::daemon
