#include "daemon/config/load_station_table.hpp"

#include <algorithm>
#include <set>

#include "control/analysis/zero_flow.hpp"
#include "daemon/config/station_rows.hpp"
#include "daemon/config/text_file.hpp"

namespace leeward::daemon {
namespace {

using control::Direction;
using control::DirectionRecord;

constexpr const char* kPressureKey = "pressure_pa";

/// What is read with one direction's rows.
struct Part {
  Direction direction;
  std::vector<StationRow> rows;
};

bool is_station(const StationRow& row) { return row.kind == RowKind::station; }

/// Sizes without a sign are what many tables hold; their side is known only where nothing else hangs on it.
void give_side(std::vector<StationRow>& rows, Direction wanted, Findings& findings) {
  const double sign = control::sign_of(wanted);
  const bool all_against = std::all_of(rows.begin(), rows.end(), [sign](const StationRow& row) {
    return is_station(row) ? sign * row.pressure_pa < 0 : row.pressure_pa == 0;
  });
  if (all_against && std::any_of(rows.begin(), rows.end(), is_station)) {
    for (StationRow& row : rows) row.pressure_pa = -row.pressure_pa;
    return;
  }
  for (const StationRow& row : rows)
    if (is_station(row) && sign * row.pressure_pa < 0)
      findings.error(row.line, 0, kPressureKey,
                     "is on the other side: indoor minus outdoor is below 0 when depressurizing; give every "
                     "pressure its sign, zero-flow ones too");
}

std::vector<Part> parts_of(const std::vector<StationRow>& rows, std::optional<Direction> wanted,
                           Findings& findings) {
  const auto of = [&rows](Direction d) {
    std::vector<StationRow> out;
    for (const StationRow& row : rows)
      if (row.direction == d) out.push_back(row);
    return out;
  };
  const bool has_column = std::any_of(rows.begin(), rows.end(), [](const auto& r) { return r.direction; });
  std::vector<Part> parts;
  if (has_column) {
    for (const Direction d : {Direction::depressurize, Direction::pressurize})
      if (auto part = of(d); !part.empty() && wanted.value_or(d) == d) parts.push_back({d, part});
    for (const StationRow& row : rows)
      if (!row.direction) findings.error(row.line, 0, "direction", "is empty, while other rows name one");
  } else {
    const auto first = std::find_if(rows.begin(), rows.end(), is_station);
    const bool is_below = first != rows.end() && first->pressure_pa < 0;
    parts.push_back({wanted.value_or(is_below ? Direction::depressurize : Direction::pressurize), rows});
  }
  for (Part& part : parts) give_side(part.rows, part.direction, findings);
  return parts;
}

/// Fewest different pressures that a fit of the procedure can stand on.
std::size_t pressures_needed(const control::ProcedureSpec& p) {
  if (p.fit == control::FitMethod::fixed_exponent) return 1;
  const std::set<double> planned(p.stations_pa.begin(), p.stations_pa.end());
  return planned.size() == 2 ? 2 : 3;
}

void judge_part(const Part& part, const DirectionRecord& record, const control::ProcedureSpec& procedure,
                Findings& findings) {
  const control::ZeroFlow zero = control::zero_flow(record.before, record.after);
  std::set<double> different;
  std::size_t i = 0;
  for (const StationRow& row : part.rows) {
    if (!is_station(row)) continue;
    different.insert(row.pressure_pa);
    if (i >= record.stations.size()) continue;
    const double measured = record.stations[i++].pressure_mean_pa;
    if (!(control::along(part.direction, measured - zero.pressure_pa) > 0))
      findings.error(row.line, 0, kPressureKey,
                     "leaves no induced pressure: the zero-flow pressure is as large; take the row out, or "
                     "mend the sign");
  }
  const std::size_t needed = pressures_needed(procedure);
  if (different.size() >= needed || !findings.errors.empty()) return;
  const std::string want = std::to_string(needed) + " different pressures";
  findings.error(part.rows.empty() ? 0 : part.rows.back().line, 0, kPressureKey,
                 different.size() == 1
                     ? "all stations have the same pressure; the fit of " + std::string(procedure.id.view()) +
                           " needs " + want + ", a fixed exponent needs one: --procedure single-point"
                     : "there are stations at " + std::to_string(different.size()) +
                           " different pressures; the fit of " + std::string(procedure.id.view()) +
                           " needs " + want);
}

}  // namespace

Loaded<StationTable> load_station_table(const std::string& path, const control::ProcedureSpec& procedure,
                                        std::optional<Direction> direction) {
  Findings findings(path);
  StationTable table;
  const auto text = read_text_file(path, findings);
  const auto csv = text ? parse_csv(*text, findings) : std::nullopt;
  if (csv) {
    const std::vector<StationRow> rows = read_station_rows(*csv, table.restrictions, findings);
    if (findings.errors.empty()) {
      table.has_baseline = !std::all_of(rows.begin(), rows.end(), is_station);
      table.has_seconds = std::all_of(rows.begin(), rows.end(), [](const auto& r) { return r.seconds > 0; });
      const std::vector<Part> parts = parts_of(rows, direction, findings);
      if (parts.empty()) findings.error(0, 0, "direction", "there are no rows of the direction asked for");
      for (const Part& part : parts) {
        table.directions.push_back(
            record_of(part.rows, part.direction, procedure, table.has_baseline, findings));
        judge_part(part, table.directions.back(), procedure, findings);
      }
    }
  }
  return loaded(std::move(table), std::move(findings));
}

std::string station_table_template() {
  return "# Pressures and flows measured elsewhere, for: leeward analyse FILE.csv\n"
         "# One row a reading; commas between the columns, points in the numbers. Lines with # are "
         "comments.\n"
         "#   kind            baseline_before, baseline_after (fan covered) or station\n"
         "#   pressure_pa     indoor minus outdoor in Pa: below 0 when depressurizing. Zero-flow pressures "
         "are\n"
         "#                   taken off; without any, the pressures count as induced\n"
         "#   flow_m3_h       as read at the fan, in m3/h; empty at a zero-flow reading\n"
         "# Columns that may be left out:\n"
         "#   direction       depressurize or pressurize, for a table of both\n"
         "#   pressure_sd_pa  standard deviation of the pressure within the reading\n"
         "#   seconds         length of the reading\n"
         "#   restriction     its name\n"
         "kind,pressure_pa,flow_m3_h,pressure_sd_pa,seconds,restriction\n"
         "baseline_before,-1.2,,0.4,60,\n"
         "station,-61.3,1490,0.6,20,bore-290\n"
         "station,-51.2,1326,0.6,20,bore-290\n"
         "station,-41.1,1150,0.5,20,bore-290\n"
         "station,-31.4,964,0.5,20,bore-290\n"
         "station,-26.3,854,0.5,20,bore-290\n"
         "baseline_after,-1.4,,0.4,60,\n";
}

}  // namespace leeward::daemon
