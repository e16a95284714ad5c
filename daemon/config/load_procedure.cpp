#include "daemon/config/load_procedure.hpp"

#include <algorithm>
#include <set>

#include "daemon/config/file_paths.hpp"
#include "daemon/config/number_keys.hpp"
#include "daemon/config/parse_toml.hpp"
#include "daemon/config/read_checks.hpp"

namespace leeward::daemon {
namespace {

using control::ProcedureSpec;

template <std::size_t N>
using ProcedureKeys = std::array<NumberKey<ProcedureSpec>, N>;

constexpr ProcedureKeys<2> kProcedureKeys{{
    {{"reference_pressure_pa", 1, 100, false, "Pa", "at which the result is stated"},
     &ProcedureSpec::reference_pressure_pa},
    {{"pressure_max_pa", 10, 200, false, "Pa", "never above it"}, &ProcedureSpec::pressure_max_pa},
}};
constexpr ProcedureKeys<1> kBaselineKeys{{
    {{"duration_s", 5, 1800, true, "s", "of each zero-flow reading"}, &ProcedureSpec::baseline_s},
}};
constexpr ProcedureKeys<2> kLookRoundKeys{{
    {{"pressure_pa", 2, 30, false, "Pa", "held while the crew looks round"}, &ProcedureSpec::look_round_pa},
    {{"min_s", 0, 1800, false, "s", "at least so long"}, &ProcedureSpec::look_round_min_s},
}};
constexpr ProcedureKeys<1> kClimbKeys{{
    {{"rate_pa_s", 0.05, 20, false, "Pa/s", "of the first climb"}, &ProcedureSpec::climb_rate_pa_s},
}};
constexpr ProcedureKeys<4> kStationKeys{{
    {{"tolerance_pa", 0.2, 20, false, "Pa", "counts as there"}, &ProcedureSpec::station_tolerance_pa},
    {{"settle_s", 0, 600, false, "s", "within the tolerance before averaging"},
     &ProcedureSpec::station_settle_s},
    {{"average_s", 1, 1800, false, "s", "averaged at each station"}, &ProcedureSpec::station_average_s},
    {{"max_wait_s", 5, 1800, false, "s", "then the station is taken as it is, or skipped"},
     &ProcedureSpec::station_max_wait_s},
}};
constexpr ProcedureKeys<3> kFitKeys{{
    {{"fixed_exponent", 0.5, 1, false, "", "assumed where it is not fitted"}, &ProcedureSpec::fixed_exponent},
    {{"exponent_u", 0, 0.25, false, "", "its standard uncertainty"}, &ProcedureSpec::exponent_u},
    {{"confidence", 0.5, 0.999, false, "", "of the stated intervals"}, &ProcedureSpec::confidence},
}};
constexpr ProcedureKeys<2> kReferenceKeys{{
    {{"temperature_c", -20, 50, false, "degrees C", "of the reference air"},
     &ProcedureSpec::reference_temperature_c},
    {{"barometric_pa", 50000, 110000, false, "Pa", "of the reference air"},
     &ProcedureSpec::reference_pressure_abs_pa},
}};

constexpr NumberRange kStationPressure{1, 200, "Pa"};
constexpr IntegerRange kMinSamples{1, 100000, ""};
/// A line through fewer leaves nothing to judge it by.
constexpr std::size_t kFewestFitStations = 3;

constexpr std::array kDirections =
    std::to_array<Choice<control::DirectionRule>>({{"one", control::DirectionRule::one},
                                                   {"both", control::DirectionRule::both},
                                                   {"one-or-both", control::DirectionRule::one_or_both}});
constexpr std::array kFits = std::to_array<Choice<control::FitMethod>>(
    {{"ols-loglog", control::FitMethod::ols_loglog}, {"fixed-exponent", control::FitMethod::fixed_exponent}});

/// A table that holds nothing but numbers of the procedure.
template <std::size_t N>
void read_plain_table(TableReader& file, const char* name, ProcedureSpec& p, const ProcedureKeys<N>& keys) {
  if (auto table = file.table(name)) {
    read_numbers(*table, p, keys);
    table->finish();
  }
}

void read_procedure_table(TableReader& file, ProcedureSpec& p) {
  auto table = file.table("procedure", Need::required);
  if (!table) return;
  table->text("title", p.title, Need::required);
  table->text("standard", p.standard);
  table->choice<control::DirectionRule>("directions", p.directions, kDirections);
  read_numbers(*table, p, kProcedureKeys);
  table->finish();
}

void read_baseline(TableReader& file, ProcedureSpec& p) {
  auto table = file.table("baseline", Need::required);
  if (!table) return;
  read_numbers(*table, p, kBaselineKeys);
  table->integer("min_samples", p.baseline_min_samples, kMinSamples);
  table->boolean("after", p.baseline_after);
  table->finish();
}

void check_stations(TableReader& table, const ProcedureSpec& p, const std::vector<double>& pressures) {
  constexpr const char* kKey = "pressures_pa";
  const double highest = *std::max_element(pressures.begin(), pressures.end());
  if (highest > p.pressure_max_pa)
    table.conclude(kKey, "must not be above procedure.pressure_max_pa, " + number_text(p.pressure_max_pa) +
                             " Pa; the highest is " + number_text(highest));
  const std::set<double> distinct(pressures.begin(), pressures.end());
  if (p.fit == control::FitMethod::ols_loglog && distinct.size() < kFewestFitStations)
    table.conclude(kKey,
                   "must name at least 3 different pressures for fit.method = \"ols-loglog\"; a test with "
                   "fewer takes \"fixed-exponent\"");
}

void read_stations(TableReader& file, ProcedureSpec& p) {
  auto table = file.table("stations", Need::required);
  if (!table) return;
  std::vector<double> pressures;
  if (table->numbers("pressures_pa", pressures, kStationPressure, 1, control::kMaxStations, Need::required)) {
    for (const double pa : pressures) p.stations_pa.push_back(pa);
    check_stations(*table, p, pressures);
  }
  read_numbers(*table, p, kStationKeys);
  table->finish();
}

void read_fit(TableReader& file, ProcedureSpec& p) {
  auto table = file.table("fit");
  if (!table) return;
  table->choice<control::FitMethod>("method", p.fit, kFits);
  read_numbers(*table, p, kFitKeys);
  table->finish();
}

void read_reference(TableReader& file, ProcedureSpec& p) {
  auto table = file.table("reference");
  if (!table) return;
  read_numbers(*table, p, kReferenceKeys);
  table->boolean("viscosity_correction", p.viscosity_correction);
  table->finish();
}

void read_lines(TableReader& file, const char* name,
                control::FixedVector<control::Line, control::kMaxChecklist>& lines) {
  for (TableReader& entry : file.tables(name, control::kMaxChecklist)) {
    control::Line line;
    if (entry.text("text", line, Need::required)) lines.push_back(line);
    entry.finish();
  }
}

ProcedureSpec read_procedure(const TomlNode& root, Findings& findings) {
  ProcedureSpec p;
  TableReader file(root, "", findings);
  read_procedure_table(file, p);
  read_baseline(file, p);
  read_plain_table(file, "look_round", p, kLookRoundKeys);
  read_plain_table(file, "climb", p, kClimbKeys);
  read_fit(file, p);  // before the stations: their number depends on the fit
  read_stations(file, p);
  read_reference(file, p);
  read_checks(file, p);
  read_lines(file, "checklist", p.checklist);
  read_lines(file, "restore", p.restore);
  if (p.look_round_pa > p.pressure_max_pa)
    file.conclude("look_round", "pressure_pa must not be above procedure.pressure_max_pa");
  file.finish();
  return p;
}

bool check_id(const std::string& id, Findings& findings) {
  if (!id.empty() && id.size() <= control::Name::capacity()) return true;
  findings.error(0, 0, "", "a procedure's name must have 1 to 48 bytes, has " + std::to_string(id.size()));
  return false;
}

Loaded<ProcedureSpec> finished(const std::optional<TomlNode>& root, const std::string& id,
                               Findings findings) {
  ProcedureSpec p;
  if (root) p = read_procedure(*root, findings);
  if (check_id(id, findings)) p.id = control::Name(std::string_view(id));
  return loaded(p, std::move(findings));
}

}  // namespace

Loaded<ProcedureSpec> load_procedure(const std::string& path) {
  Findings findings(path);
  std::optional<TomlNode> root;
  if (auto file = parse_toml_file(path, findings)) root = std::move(file->root);
  return finished(root, stem_of(path), std::move(findings));
}

Loaded<ProcedureSpec> procedure_from_toml(std::string_view text, std::string name) {
  Findings findings(name);
  const std::optional<TomlNode> root = parse_toml(text, findings);
  return finished(root, name, std::move(findings));
}

}  // namespace leeward::daemon
