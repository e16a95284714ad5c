#include "daemon/config/station_rows.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "control/analysis/gust_estimate.hpp"
#include "control/analysis/gust_grid.hpp"
#include "control/physics/fan_spec.hpp"
#include "daemon/config/near_key.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {
namespace {

using control::Direction;

constexpr std::array<const char*, 7> kColumns{"kind",           "direction", "pressure_pa", "flow_m3_h",
                                              "pressure_sd_pa", "seconds",   "restriction"};
constexpr std::array<const char*, 3> kNeededColumns{"kind", "pressure_pa", "flow_m3_h"};
constexpr NumberRange kPressure{-500, 500, "Pa"};
constexpr NumberRange kFlow{0, 2e6, "m3/h"};
constexpr NumberRange kSpread{0, 100, "Pa"};
constexpr NumberRange kSeconds{0, 36000, "s"};
constexpr double kSecondsPerHour = 3600;

std::vector<std::string> words(const auto& list) { return {list.begin(), list.end()}; }

/// One row with its heading; every question names row and column.
class RowReader {
 public:
  RowReader(const CsvTable& table, const CsvRow& row, Findings& findings)
      : table_(table), row_(row), findings_(findings) {}

  [[nodiscard]] std::string text(const char* key) const {
    const std::size_t i = index_of(key);
    return i < row_.cells.size() ? row_.cells[i].text : std::string();
  }
  void error(const char* key, const std::string& text) const {
    const std::size_t i = index_of(key);
    findings_.error(row_.line, i < row_.cells.size() ? row_.cells[i].column : 0, key, text);
  }
  /// @returns nullopt where the value is empty or not allowed; what is not allowed is told
  [[nodiscard]] std::optional<double> number(const char* key, const NumberRange& range) const {
    const std::string value = text(key);
    if (value.empty()) return std::nullopt;
    double out = 0;
    const char* end = value.data() + value.size();
    const auto parsed = std::from_chars(value.data(), end, out);
    if (parsed.ec != std::errc() || parsed.ptr != end) {
      const bool is_comma = value.find(',') != std::string::npos;
      error(key,
            "must be a number, is " + value.substr(0, 40) +
                (is_comma ? "; write decimals with a point: 1.5, not 1,5" : "; digits and a point alone"));
      return std::nullopt;
    }
    if (std::isfinite(out) && out >= range.low && out <= range.high) return out;
    error(key, "must be " + range_text(range) + ", is " + value.substr(0, 40));
    return std::nullopt;
  }
  template <std::size_t N>
  [[nodiscard]] std::optional<std::size_t> choice(const char* key,
                                                  const std::array<const char*, N>& choices) const {
    const std::string value = text(key);
    for (std::size_t i = 0; i < N; ++i)
      if (value == choices[i]) return i;
    if (!value.empty()) error(key, "must be " + one_of(words(choices)) + ", is " + value.substr(0, 40));
    return std::nullopt;
  }

 private:
  [[nodiscard]] std::size_t index_of(std::string_view key) const {
    const auto& heading = table_.heading.cells;
    const auto found =
        std::find_if(heading.begin(), heading.end(), [key](const CsvCell& c) { return c.text == key; });
    return static_cast<std::size_t>(found - heading.begin());
  }
  const CsvTable& table_;
  const CsvRow& row_;
  Findings& findings_;
};

void check_heading(const CsvRow& heading, Findings& findings) {
  const std::vector<std::string> known = words(kColumns);
  std::vector<std::string> seen;
  for (const CsvCell& cell : heading.cells) {
    if (std::find(seen.begin(), seen.end(), cell.text) != seen.end())
      findings.error(heading.line, cell.column, cell.text, "is there twice");
    seen.push_back(cell.text);
    if (std::find(known.begin(), known.end(), cell.text) != known.end()) continue;
    std::string_view meant = same_key_other_unit(cell.text, known);
    const bool is_unit = !meant.empty();
    if (!is_unit) meant = nearest_word(cell.text, known);
    findings.error(heading.line, cell.column, cell.text.substr(0, 40),
                   "is no column of ours; " +
                       (meant.empty() ? "the columns are " + one_of(known)
                                      : "did you mean " + std::string(meant) +
                                            (is_unit ? ": convert the values and say the unit" : "?")));
  }
  for (const char* key : kNeededColumns)
    if (std::find(seen.begin(), seen.end(), key) == seen.end() && findings.errors.empty())
      findings.error(heading.line, 0, key, "this column is missing; leeward analyse --template shows all");
}

int restriction_index(const std::string& name, std::vector<std::string>& names) {
  const auto found = std::find(names.begin(), names.end(), name);
  const auto index = static_cast<int>(found - names.begin());
  if (found == names.end()) names.push_back(name);
  return index;
}

void check_flow(const RowReader& reader, StationRow& row) {
  const auto flow = reader.number("flow_m3_h", kFlow);
  row.flow_m3_h = flow.value_or(0);
  if (row.kind != RowKind::station) {
    if (row.flow_m3_h > 0) reader.error("flow_m3_h", "must be empty or 0 where the fan is covered");
  } else if (reader.text("flow_m3_h").empty()) {
    reader.error("flow_m3_h", "is empty; a station needs its flow, in m3/h");
  } else if (flow && !(*flow > 0)) {
    reader.error("flow_m3_h", "must be above 0; take the row out where no flow could be read");
  }
}

StationRow row_from(const RowReader& reader, int line, std::vector<std::string>& restrictions) {
  StationRow row;
  row.line = line;
  const auto kind =
      reader.choice("kind", std::array<const char*, 3>{"baseline_before", "baseline_after", "station"});
  if (kind) row.kind = static_cast<RowKind>(*kind);
  if (reader.text("kind").empty())
    reader.error("kind", "is empty; say baseline_before, baseline_after or station");
  const auto direction = reader.choice("direction", std::array<const char*, 2>{"depressurize", "pressurize"});
  if (direction) row.direction = *direction == 0 ? Direction::depressurize : Direction::pressurize;
  const auto pressure = reader.number("pressure_pa", kPressure);
  row.pressure_pa = pressure.value_or(0);
  if (reader.text("pressure_pa").empty()) reader.error("pressure_pa", "is empty; every row needs it, in Pa");
  if (kind && row.kind == RowKind::station && pressure && row.pressure_pa == 0)
    reader.error("pressure_pa", "must not be 0 at a station");
  if (kind) check_flow(reader, row);
  row.pressure_sd_pa = reader.number("pressure_sd_pa", kSpread).value_or(0);
  row.seconds = reader.number("seconds", kSeconds).value_or(0);
  const std::string restriction = reader.text("restriction");
  if (kind && row.kind == RowKind::station) row.restriction = restriction_index(restriction, restrictions);
  if (row.restriction >= static_cast<int>(control::kMaxRestrictions))
    reader.error("restriction", "is one name too many: at most " + std::to_string(control::kMaxRestrictions));
  if (restriction.size() > control::Name::capacity())
    reader.error("restriction", "is too long: at most 48 bytes");
  return row;
}

double mean_se_pa(const StationRow& row) {
  if (!(row.pressure_sd_pa > 0) || !(row.seconds > 0)) return 0;
  return control::mean_sd_pa({row.pressure_sd_pa, control::kLikelyGustTime}, row.seconds);
}

std::int64_t nanoseconds(double s) { return std::llround(s * 1e9); }

double mean_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v;
  return values.empty() ? 0 : sum / static_cast<double>(values.size());
}

control::BaselineRecord baseline_of(const std::vector<StationRow>& rows, RowKind kind) {
  control::BaselineRecord record;
  std::vector<double> all;
  std::vector<double> above;
  std::vector<double> below;
  double squares_of_se = 0;
  for (const StationRow& row : rows) {
    if (row.kind != kind) continue;
    all.push_back(row.pressure_pa);
    if (row.pressure_pa != 0) (row.pressure_pa > 0 ? above : below).push_back(row.pressure_pa);
    record.end_ns += nanoseconds(row.seconds);
    squares_of_se += mean_se_pa(row) * mean_se_pa(row);
  }
  if (all.empty()) return record;
  record.taken = true;
  record.samples = static_cast<int>(all.size());
  record.mean_pa = mean_of(all);
  record.positive_mean_pa = mean_of(above);
  record.negative_mean_pa = mean_of(below);
  double squares = 0;
  for (const double v : all) squares += (v - record.mean_pa) * (v - record.mean_pa);
  const auto count = static_cast<double>(all.size());
  if (count > 1) record.sd_pa = std::sqrt(squares / (count - 1));
  record.mean_se_pa = std::max(record.sd_pa / std::sqrt(count), std::sqrt(squares_of_se) / count);
  return record;
}

/// The station of the procedure that a reading was meant for, else its own size.
double target_of(double size_pa, const control::ProcedureSpec& procedure) {
  constexpr double near_frac = 0.1;
  double nearest = size_pa;
  double distance = near_frac * size_pa;
  for (const double pa : procedure.stations_pa) {
    if (std::abs(pa - size_pa) >= distance) continue;
    nearest = pa;
    distance = std::abs(pa - size_pa);
  }
  return nearest;
}

}  // namespace

std::vector<StationRow> read_station_rows(const CsvTable& table, std::vector<std::string>& restrictions,
                                          Findings& findings) {
  std::vector<StationRow> rows;
  check_heading(table.heading, findings);
  if (!findings.errors.empty()) return rows;
  for (const CsvRow& row : table.rows) {
    if (findings.full()) break;
    rows.push_back(row_from(RowReader(table, row, findings), row.line, restrictions));
  }
  return rows;
}

control::DirectionRecord record_of(const std::vector<StationRow>& rows, Direction d,
                                   const control::ProcedureSpec& procedure, bool has_baseline,
                                   Findings& findings) {
  control::DirectionRecord record;
  record.direction = d;
  record.before = baseline_of(rows, RowKind::baseline_before);
  record.after = baseline_of(rows, RowKind::baseline_after);
  if (!has_baseline) record.before.taken = true;
  if (!record.before.taken && !record.after.taken)
    findings.error(rows.empty() ? 0 : rows.front().line, 0, "kind",
                   "this direction has no zero-flow pressure while the other has one; give it one");
  for (const StationRow& row : rows) {
    if (row.kind != RowKind::station) continue;
    control::StationRecord station;
    station.target_pa = target_of(std::abs(row.pressure_pa), procedure);
    station.end_ns = nanoseconds(row.seconds);
    station.samples = 1;
    station.pressure_mean_pa = row.pressure_pa;
    station.pressure_sd_pa = row.pressure_sd_pa;
    station.pressure_mean_se_pa = mean_se_pa(row);
    station.flow_mean_m3_s = row.flow_m3_h / kSecondsPerHour;
    station.restriction = row.restriction;
    if (!record.stations.push_back(station))
      findings.error(
          row.line, 0, "kind",
          "is one station too many: at most " + std::to_string(control::kMaxStations) + " a direction");
  }
  return record;
}

}  // namespace leeward::daemon
