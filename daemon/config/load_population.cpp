#include "daemon/config/load_population.hpp"

#include <algorithm>

#include "daemon/config/file_paths.hpp"
#include "daemon/config/load_fan.hpp"
#include "daemon/config/load_procedure.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/config/number_keys.hpp"
#include "daemon/config/parse_toml.hpp"
#include "daemon/config/population_keys.hpp"

namespace leeward::daemon {
namespace {

using sim::CampaignSpec;
using sim::PopulationSpec;

constexpr NumberRange kTargetRange{1, 70, "Pa"};
constexpr NumberRange kWindRange{0, 30, "m/s"};
constexpr IntegerRange kStoreys{1, 20, ""};

constexpr std::array kDriveTold =
    std::to_array<Choice<sim::DriveTold>>({{"nominal", sim::DriveTold::nominal},
                                           {"commissioned", sim::DriveTold::commissioned},
                                           {"exact", sim::DriveTold::exact},
                                           {"identified", sim::DriveTold::identified}});
constexpr std::array kDirectionWords =
    std::to_array<Choice<control::DirectionChoice>>({{"depressurize", control::DirectionChoice::depressurize},
                                                     {"pressurize", control::DirectionChoice::pressurize},
                                                     {"both", control::DirectionChoice::both}});

template <std::size_t N>
void read_ranges(TableReader& table, PopulationSpec& houses, const std::array<RangeKey, N>& keys) {
  for (const RangeKey& key : keys) {
    std::vector<double> ends;
    if (!table.numbers(key.rule.key, ends, {key.rule.low, key.rule.high, key.rule.unit}, 2, 2)) continue;
    if (ends[0] > ends[1]) table.error(key.rule.key, "must be [low, high] with low not above high");
    houses.*key.member = {ends[0], ends[1]};
  }
}

void read_houses(TableReader& file, PopulationSpec& houses) {
  auto table = file.table("houses");
  if (!table) return;
  read_ranges(*table, houses, kHouseRanges);
  read_numbers(*table, houses, kHouseNumbers);
  table->integer("storeys_max", houses.storeys_max, kStoreys);
  if (houses.wall_share + houses.ceiling_share >= 1)
    table->conclude("wall_share", "must leave something for the floor: wall_share + ceiling_share below 1");
  table->finish();
}

void read_weather(TableReader& file, PopulationSpec& houses) {
  auto table = file.table("wind");
  if (!table) return;
  read_ranges(*table, houses, kWindRanges);
  read_numbers(*table, houses, kWindNumbers);
  table->finish();
}

void read_units(TableReader& file, PopulationSpec& houses) {
  if (auto table = file.table("rig")) {
    read_ranges(*table, houses, kRigRanges);
    read_numbers(*table, houses, kRigNumbers);
    table->finish();
  }
  if (auto table = file.table("gauge")) {
    read_numbers(*table, houses.sensor, kGaugeKeys);
    table->finish();
  }
  for (TableReader& entry : file.tables("fan", 1)) {
    if (const auto fan = read_fan_entry(entry, entry.findings().file)) {
      houses.fan = *fan;
      if (fan->curve.empty())
        entry.error("file",
                    "needs curve_m3_s_pa in the fan file: a simulated fan cannot learn its own curve");
    }
    entry.finish();
  }
}

void read_told(TableReader& file, sim::ToldSpec& told) {
  auto table = file.table("told");
  if (!table) return;
  table->choice<sim::DriveTold>("drive", told.drive, kDriveTold);
  read_numbers(*table, told, kToldKeys);
  table->finish();
}

template <std::size_t N>
void read_list(TableReader& table, const char* key, const NumberRange& range, Need need,
               control::FixedVector<double, N>& out) {
  std::vector<double> values;
  if (!table.numbers(key, values, range, 1, N, need)) return;
  out.clear();
  for (const double value : values) {
    if (&range == &kWindRange && std::find(out.begin(), out.end(), value) != out.end())
      table.error(key, "names a value twice");
    out.push_back(value);
  }
}

void read_scenarios(TableReader& file, CampaignSpec& spec) {
  if (auto table = file.table("steps")) {
    spec.has_steps = true;
    read_numbers(*table, spec.steps, kStepKeys);
    read_list(*table, "targets_pa", kTargetRange, Need::optional, spec.steps.targets_pa);
    table->boolean("floor", spec.steps.with_floor);
    table->finish();
  }
  if (auto table = file.table("gusts")) {
    spec.has_gusts = true;
    read_numbers(*table, spec.gusts, kGustKeys);
    read_list(*table, "winds_m_s", kWindRange, Need::required, spec.gust_winds_m_s);
    table->finish();
  }
  if (!spec.has_steps && !spec.has_gusts && !file.has("tests") && !file.has("faults"))
    file.conclude("", "nothing to run: a table [steps], [gusts], [tests] or [faults] is needed");
}

/// What a whole test needs, faults or none.
void read_test(TableReader& table, sim::TestScenario& test) {
  read_numbers(table, test, kTestKeys);
  table.choice<control::DirectionChoice>("direction", test.direction, kDirectionWords);
  std::string named;
  if (table.text("procedure", named, 1000, Need::required)) {
    const std::string path = relative_to_file(table.findings().file, named);
    const Loaded<control::ProcedureSpec> procedure = load_procedure(path);
    table.add_file("procedure", path, procedure.errors, procedure.warnings);
    if (procedure) test.procedure = *procedure.value;
  }
  const bool both = test.direction == control::DirectionChoice::both;
  const auto rule = test.procedure.directions;
  if ((rule == control::DirectionRule::both && !both) || (rule == control::DirectionRule::one && both))
    table.conclude("direction", "is not one that the procedure allows");
}

void read_tests(TableReader& file, CampaignSpec& spec) {
  auto table = file.table("tests");
  if (!table) return;
  spec.has_tests = true;
  read_list(*table, "winds_m_s", kWindRange, Need::required, spec.test_winds_m_s);
  read_test(*table, spec.tests);
  table->finish();
}

/// All kinds where none is named.
void read_kinds(TableReader& table, sim::FaultKinds& kinds) {
  std::vector<std::string> names;
  table.texts("kinds", names, 40, sim::kFaultKinds);
  for (std::size_t i = 0; i < sim::kFaultKinds; ++i)
    if (names.empty() || std::find(names.begin(), names.end(), sim::kFaultNames[i]) != names.end())
      kinds.push_back(static_cast<sim::FaultKind>(i));
  for (const std::string& name : names)
    if (std::find(sim::kFaultNames.begin(), sim::kFaultNames.end(), name) == sim::kFaultNames.end())
      table.error("kinds", "names no fault: " + name);
}

void read_faults(TableReader& file, CampaignSpec& spec) {
  auto table = file.table("faults");
  if (!table) return;
  spec.has_faults = true;
  std::vector<double> ends;
  if (table->numbers("wind_m_s", ends, kWindRange, 2, 2)) {
    if (ends[0] > ends[1]) table->error("wind_m_s", "must be [low, high] with low not above high");
    spec.faults.wind_m_s = {ends[0], ends[1]};
  }
  read_kinds(*table, spec.faults.kinds);
  read_test(*table, spec.faults.test);
  table->finish();
}

/// The second tool is the first but for what its tables say.
void read_compare(TableReader& file, CampaignSpec& spec) {
  auto table = file.table("compare");
  if (!table) return;
  sim::NamedTool other = spec.tools[0];
  other.name = "compared";
  table->text("name", other.name);
  read_regulator(*table, other.tool.regulator);
  read_told(*table, other.tool.told);
  if (other.name == spec.tools[0].name)
    table->conclude("name", "must differ from the name of the other settings");
  spec.tools.push_back(other);
  table->finish();
}

CampaignSpec read_population(const TomlNode& root, Findings& findings) {
  CampaignSpec spec;
  TableReader file(root, "", findings);
  sim::NamedTool tool;
  tool.name = "own";
  if (auto table = file.table("population", Need::required)) {
    table->text("name", spec.name, Need::required);
    table->text("settings", tool.name);
    table->finish();
  }
  read_houses(file, spec.houses);
  read_weather(file, spec.houses);
  read_units(file, spec.houses);
  read_told(file, tool.tool.told);
  read_regulator(file, tool.tool.regulator);
  spec.tools.push_back(tool);
  read_scenarios(file, spec);
  read_tests(file, spec);
  read_faults(file, spec);
  read_compare(file, spec);
  file.finish();
  return spec;
}

/// "a=1,b=text" as the table of a rig file, so that every setting is known here that is known there.
std::string as_table(const std::string& settings) {
  std::string toml = "[regulator]\n";
  for (std::size_t from = 0; from < settings.size();) {
    const std::size_t to = std::min(settings.find(',', from), settings.size());
    const std::string pair = settings.substr(from, to - from);
    const std::size_t equals = std::min(pair.find('='), pair.size() - 1);
    const std::string value = pair.substr(equals + 1);
    const bool is_word = !value.empty() && value != "true" && value != "false" &&
                         value.find_first_not_of("0123456789+-.eE_") != std::string::npos;
    const char* quote = is_word ? "\"" : "";
    toml += pair.substr(0, equals) + " = " + quote + value + quote + "\n";
    from = to + 1;
  }
  return toml;
}

}  // namespace

Loaded<CampaignSpec> load_population(const std::string& path) {
  Findings findings(path);
  CampaignSpec spec;
  if (const auto file = parse_toml_file(path, findings)) spec = read_population(file->root, findings);
  return loaded(spec, std::move(findings));
}

Loaded<control::RegulatorSpec> load_regulator(const std::string& file_or_settings) {
  if (file_or_settings.find('=') == std::string::npos) {
    Loaded<RigSpec> rig = load_rig(file_or_settings);
    Loaded<control::RegulatorSpec> out;
    if (rig) out.value = rig.value->engine.regulator;
    out.errors = std::move(rig.errors);
    out.warnings = std::move(rig.warnings);
    return out;
  }
  Findings findings(file_or_settings);
  control::RegulatorSpec regulator;
  if (const auto root = parse_toml(as_table(file_or_settings), findings)) {
    TableReader file(*root, "", findings);
    read_regulator(file, regulator);
    file.finish();
  }
  return loaded(regulator, std::move(findings));
}

}  // namespace leeward::daemon
