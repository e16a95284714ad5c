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

constexpr std::size_t kLongestBasePath = 400;
constexpr int kDeepest = 3;

/// Another procedure file that this one builds on: `like` takes everything from it that is not said here,
/// and puts the checks and lists of this file after its own; `lists_like` takes its two lists alone.
class BaseFile {
 public:
  /// @param path  of the file that builds on another; empty where there is no file
  BaseFile(std::string path, int depth) : path_(std::move(path)), depth_(depth) {}
  void read(TableReader& table, ProcedureSpec& p);
  [[nodiscard]] bool has_whole() const { return has_whole_; }

 private:
  [[nodiscard]] std::optional<ProcedureSpec> load(TableReader& table, const char* key) const;
  std::string path_;
  int depth_ = 0;
  bool has_whole_ = false;
};

constexpr ProcedureKeys<2> kProcedureKeys{{
    {{"reference_pressure_pa", 1, 100, false, "Pa", "at which the result is stated"},
     &ProcedureSpec::reference_pressure_pa},
    {{"pressure_max_pa", 10, 200, false, "Pa", "never above it"}, &ProcedureSpec::pressure_max_pa},
}};
constexpr NumberKey<ProcedureSpec> kBaselineLength{
    {"duration_s", 5, 1800, true, "s", "of each zero-flow reading, at least"}, &ProcedureSpec::baseline_s};
constexpr ProcedureKeys<2> kBaselineKeys{{
    {{"most_s", 5, 3600, false, "s", "and up to here, until the mean is good enough"},
     &ProcedureSpec::baseline_most_s},
    {{"se_pa", 0.01, 10, false, "Pa", "standard error of the mean that is good enough"},
     &ProcedureSpec::baseline_se_pa},
}};
constexpr ProcedureKeys<2> kLookRoundKeys{{
    {{"pressure_pa", 2, 30, false, "Pa", "held while the crew looks round"}, &ProcedureSpec::look_round_pa},
    {{"min_s", 0, 1800, false, "s", "at least so long"}, &ProcedureSpec::look_round_min_s},
}};
constexpr ProcedureKeys<1> kClimbKeys{{
    {{"rate_pa_s", 0.05, 20, false, "Pa/s", "of the first climb"}, &ProcedureSpec::climb_rate_pa_s},
}};
constexpr ProcedureKeys<6> kStationKeys{{
    {{"tolerance_pa", 0.2, 20, false, "Pa", "counts as there"}, &ProcedureSpec::station_tolerance_pa},
    {{"settle_s", 0, 600, false, "s", "within the tolerance before averaging"},
     &ProcedureSpec::station_settle_s},
    {{"average_s", 1, 1800, false, "s", "averaged at each station, at least"},
     &ProcedureSpec::station_average_s},
    {{"average_most_s", 1, 3600, false, "s", "and up to here, until the mean is good enough"},
     &ProcedureSpec::station_most_s},
    {{"average_se_frac", 0.0001, 0.2, false, "of the flow", "standard error that is good enough"},
     &ProcedureSpec::station_se_frac},
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

void read_procedure_table(TableReader& file, ProcedureSpec& p, BaseFile& base) {
  auto table = file.table("procedure", Need::required);
  if (!table) return;
  base.read(*table, p);
  table->text("title", p.title, Need::required);
  table->text("standard", p.standard);
  table->choice<control::DirectionRule>("directions", p.directions, kDirections);
  read_numbers(*table, p, kProcedureKeys);
  table->finish();
}

/// A length that adapts ends where it begins, or later; what would be good enough means nothing without it.
void judge_adaptive(TableReader& table, const char* most_key, const char* se_key, double least_s,
                    double most_s) {
  if (table.has(most_key) && most_s < least_s)
    table.conclude(most_key, "must not be below the least length, " + number_text(least_s) + " s");
  if (table.has(se_key) && most_s <= 0)
    table.conclude(se_key, std::string("has no effect without ") + most_key);
}

void read_baseline(TableReader& file, ProcedureSpec& p, Need need) {
  auto table = file.table("baseline", need);
  if (!table) return;
  const KeyRule& length = kBaselineLength.rule;
  table->number(length.key, p.baseline_s, {length.low, length.high, length.unit}, need);
  read_numbers(*table, p, kBaselineKeys);
  judge_adaptive(*table, "most_s", "se_pa", p.baseline_s, p.baseline_most_s);
  table->integer("min_samples", p.baseline_min_samples, kMinSamples);
  table->boolean("after", p.baseline_after);
  table->finish();
}

/// With fewer there is nothing to judge a line by.
bool gives_a_line(const std::vector<double>& pressures) {
  const std::multiset<double> all(pressures.begin(), pressures.end());
  const std::set<double> different(pressures.begin(), pressures.end());
  const bool all_repeated =
      std::all_of(different.begin(), different.end(), [&all](double pa) { return all.count(pa) > 1; });
  return different.size() >= 3 || (different.size() == 2 && all_repeated);
}

void check_stations(TableReader& table, const ProcedureSpec& p, const std::vector<double>& pressures) {
  constexpr const char* kKey = "pressures_pa";
  const double highest = *std::max_element(pressures.begin(), pressures.end());
  if (highest > p.pressure_max_pa)
    table.conclude(kKey, "must not be above procedure.pressure_max_pa, " + number_text(p.pressure_max_pa) +
                             " Pa; the highest is " + number_text(highest));
  if (p.fit == control::FitMethod::ols_loglog && !gives_a_line(pressures))
    table.conclude(kKey,
                   "must name at least 3 different pressures, or 2 several times each, for fit.method = "
                   "\"ols-loglog\"; a test with fewer takes \"fixed-exponent\"");
}

void read_stations(TableReader& file, ProcedureSpec& p, Need need) {
  auto table = file.table("stations", need);
  if (!table) return;
  std::vector<double> pressures;
  if (table->numbers("pressures_pa", pressures, kStationPressure, 1, control::kMaxStations, need)) {
    p.stations_pa.clear();
    for (const double pa : pressures) p.stations_pa.push_back(pa);
    check_stations(*table, p, pressures);
  }
  read_numbers(*table, p, kStationKeys);
  table->boolean("keep_speed", p.keep_speed);
  judge_adaptive(*table, "average_most_s", "average_se_frac", p.station_average_s, p.station_most_s);
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
    if (entry.text("text", line, Need::required) && !lines.push_back(line))
      entry.error("text", "is one too many: with those of the other file there are more than 24");
    entry.finish();
  }
}

ProcedureSpec read_procedure(const TomlNode& root, BaseFile base, Findings& findings) {
  ProcedureSpec p;
  TableReader file(root, "", findings);
  read_procedure_table(file, p, base);
  // After a misspelt `like` what else is missing would be no news.
  const Need need = base.has_whole() || !findings.errors.empty() ? Need::optional : Need::required;
  read_baseline(file, p, need);
  read_plain_table(file, "look_round", p, kLookRoundKeys);
  read_plain_table(file, "climb", p, kClimbKeys);
  read_fit(file, p);  // before the stations: their number depends on the fit
  read_stations(file, p, need);
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

Loaded<ProcedureSpec> finished(const std::optional<TomlNode>& root, const std::string& id, BaseFile base,
                               Findings findings) {
  ProcedureSpec p;
  if (root) p = read_procedure(*root, std::move(base), findings);
  if (check_id(id, findings)) p.id = control::Name(std::string_view(id));
  return loaded(p, std::move(findings));
}

Loaded<ProcedureSpec> load_at(const std::string& path, int depth) {
  Findings findings(path);
  std::optional<TomlNode> root;
  if (auto file = parse_toml_file(path, findings)) root = std::move(file->root);
  return finished(root, stem_of(path), BaseFile(path, depth), std::move(findings));
}

void BaseFile::read(TableReader& table, ProcedureSpec& p) {
  if (const auto whole = load(table, "like")) {
    p = *whole;
    has_whole_ = true;
  }
  if (const auto lists = load(table, "lists_like")) {
    p.checklist = lists->checklist;
    p.restore = lists->restore;
  }
}

std::optional<ProcedureSpec> BaseFile::load(TableReader& table, const char* key) const {
  std::string name;
  if (!table.text(key, name, kLongestBasePath)) return std::nullopt;
  if (path_.empty()) {
    table.error(key, "names another file, which only a procedure in a file can do");
    return std::nullopt;
  }
  if (depth_ >= kDeepest) {
    table.error(key, "files name each other in a circle or too deep");
    return std::nullopt;
  }
  const std::string path = relative_to_file(path_, name);
  auto base = load_at(path, depth_ + 1);
  table.add_file(key, path, base.errors, base.warnings);
  return base.value;
}

}  // namespace

Loaded<ProcedureSpec> load_procedure(const std::string& path) { return load_at(path, 0); }

Loaded<ProcedureSpec> procedure_from_toml(std::string_view text, std::string name) {
  Findings findings(name);
  const std::optional<TomlNode> root = parse_toml(text, findings);
  return finished(root, name, BaseFile("", 0), std::move(findings));
}

}  // namespace leeward::daemon
