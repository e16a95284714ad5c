#include <cstdio>
#include <fstream>
#include <map>
#include <memory>

#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/tune_text.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/tune/regulator_toml.hpp"
#include "daemon/tune/tune.hpp"
#include "sim/random_house.hpp"

namespace leeward::daemon {
namespace {

/// A house file, the house of a seed, or the rig's own simulated one.
Attempt<sim::HouseSpec> house_of(const TuneCommand& command, const RigSpec& rig) {
  if (!command.house.empty()) {
    auto house = load_house(command.house);
    for (const FileError& warning : house.warnings) print_progress("warning: " + to_text(warning));
    if (!house)
      return tl::unexpected(
          Failure{exit_data, "bad_house", to_text(house.errors), "leeward check names what is allowed"});
    return *house.value;
  }
  if (command.house_seed) {
    sim::PopulationSpec population;
    population.fan = rig.engine.fans[0];
    return sim::random_house(*command.house_seed, population);
  }
  if (rig.device == DeviceKind::simulated) return rig.simulated.house;
  return tl::unexpected(Failure{exit_usage, "house_missing",
                                "the rig is a real one, and tuning is done on a simulated house",
                                "give one that is like it: --house FILE, or --seed for a random one"});
}

bool written(const std::string& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file << text;
  file.close();
  return file.good();
}

/// The rig file with the gains, and whether it reads back as meant.
Attempt<bool> write_rig(const TuneCommand& command, const RigSpec& rig, const TuneResult& result) {
  const std::string text = rig_with_regulator(rig.source_text, result.regulator, command.rig, command.out);
  if (!written(command.out, text))
    return tl::unexpected(Failure{exit_io, "io", "can't write " + command.out});
  const auto back = load_rig(command.out);
  if (back && back.value->engine.regulator == result.regulator) return true;
  return tl::unexpected(Failure{
      exit_failed, "bad_rig",
      command.out + " does not read back as meant" + (back ? std::string() : ": " + to_text(back.errors)),
      "put the table into your rig file by hand:\n" + regulator_table(result.regulator)});
}

Attempt<TuneOptions> options_of(const TuneCommand& command, const RigSpec& rig) {
  const auto house = house_of(command, rig);
  if (!house) return tl::unexpected(house.error());
  TuneOptions options;
  options.rig = rig.engine;
  options.house = *house;
  options.seed = command.house_seed.value_or(rig.simulated.seed);
  options.pressure_pa = command.pressure_pa;
  options.bound_pa = std::min(options.bound_pa, 0.4 * command.pressure_pa);
  options.method = command.method;
  options.rule = command.rule;
  return options;
}

}  // namespace

int run_command(const TuneCommand& command, const CommonOptions& common) {
  const auto rig = load_rig(command.rig);
  for (const FileError& warning : rig.warnings) print_progress("warning: " + to_text(warning));
  if (!rig)
    return report_failure(common.json,
                          {exit_config, "bad_config", to_text(rig.errors), "leeward check " + command.rig});
  const auto options = options_of(command, *rig.value);
  if (!options) return report_failure(common.json, options.error());
  const auto result = tune(*options);
  if (!result) return report_failure(common.json, {exit_failed, "not_tuned", result.error().text});
  if (!command.out.empty())
    if (const auto done = write_rig(command, *rig.value, *result); !done)
      return report_failure(common.json, done.error());
  if (common.json) {
    nlohmann::json json = tune_json(*options, *result);
    json["regulator_toml"] = regulator_table(result->regulator);
    json["out"] = command.out.empty() ? nlohmann::json(nullptr) : nlohmann::json(command.out);
    print_json(json);
    return exit_done;
  }
  print_text(tune_text(*options, *result));
  print_text(command.out.empty() ? "\n" + regulator_table(result->regulator) : "\nwritten: " + command.out);
  return exit_done;
}

}  // namespace leeward::daemon
