#include "daemon/document/measurement_blocks.hpp"

#include <cmath>

#include "daemon/words/ask_text.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

constexpr double kNsPerSecond = 1e9;
constexpr double kPressureHeight = 148;
constexpr double kCurveHeight = 176;
constexpr double kResidualsHeight = 72;
constexpr double kCurveWidth = 0.58;

double duration_s(std::int64_t begin_ns, std::int64_t end_ns) {
  return static_cast<double>(end_ns - begin_ns) / kNsPerSecond;
}

/// 0 stands for no sample of that sign.
std::string sign_mean_text(double pa) { return pa == 0 ? "none" : cell_text(pa, 2); }

TableRow baseline_row(const ReportData& data, control::Direction direction, const char* when,
                      const control::BaselineRecord& b) {
  return {{std::string(direction_title(direction)), when, cell_text(b.mean_pa, 2), cell_text(b.mean_se_pa, 2),
           cell_text(b.sd_pa, 2), sign_mean_text(b.positive_mean_pa), sign_mean_text(b.negative_mean_pa),
           cell_text(duration_s(b.begin_ns, b.end_ns), 0), std::to_string(b.samples),
           cell_text(data.story.seconds_at(b.begin_ns) / 60, 1)}};
}

std::string station_note(const control::StationResult& s) {
  std::string note;
  if (!s.settled) note = "not held";
  if (s.part > 0) note += std::string(note.empty() ? "" : ", ") + "kept, part " + std::to_string(s.part);
  if (!s.signal_in_range) note += std::string(note.empty() ? "" : ", ") + "signal out of range";
  return note;
}

TableRow station_row(const ReportData& data, const control::StationResult& s,
                     const control::StationRecord* averages, int number, const DisplayUnits& units) {
  const double nan = std::nan("");
  return {{std::to_string(number), cell_text(s.target_pa, 0), cell_text(s.measured_pa, 1),
           cell_text(s.induced_pa, 1), cell_in(units.flow, s.flow_read_m3_s),
           cell_in(units.flow, s.flow_m3_s), restriction_name(data.meta.engine, 0, s.restriction),
           cell_text(s.signal_pa, 1), cell_text(s.demand_frac * 100, 0),
           cell_text(averages != nullptr ? duration_s(averages->begin_ns, averages->end_ns) : nan, 0),
           cell_text(std::expm1(s.residual) * 100, 2), station_note(s)}};
}

/// Stations of a run that has no result yet, as they were averaged.
TableRow raw_station_row(const ReportData& data, const control::StationRecord& s, int number,
                         const DisplayUnits& units) {
  return {{std::to_string(number), cell_text(s.target_pa, 0), cell_text(s.pressure_mean_pa, 1), "-",
           cell_in(units.flow, s.flow_mean_m3_s), "-", restriction_name(data.meta.engine, 0, s.restriction),
           cell_text(s.signal_mean_pa, 1), cell_text(s.demand_mean_frac * 100, 0),
           cell_text(duration_s(s.begin_ns, s.end_ns), 0), "-", s.settled ? "" : "not held"}};
}

std::vector<TableColumn> station_columns(const DisplayUnits& units) {
  const CellAlign right = CellAlign::right;
  return {{"No.", "", right, 0.55},
          {"Target", "Pa", right, 0.85},
          {"Measured", "Pa", right, 1.15},
          {"Induced", "Pa", right, 0.95},
          {"Flow read", units.flow.name, right, 1.45},
          {"Leak flow", units.flow.name, right, 1.3},
          {"Restriction", "", CellAlign::left, 1.4},
          {"Signal", "Pa", right, 0.85},
          {"Demand", "%", right, 1.0},
          {"Averaged", "s", right, 1.15},
          {"Residual", "%", right, 1.1},
          {"Note", "", CellAlign::left, 1.05}};
}

void add_stations(const ReportData& data, std::size_t direction, const DisplayUnits& units,
                  TableBlock& table) {
  const control::DirectionRecord& record = data.record.directions[direction];
  const bool has_result = direction < data.result.directions.size();
  table.rows.push_back({{std::string(direction_title(record.direction))}, true});
  int number = 0;
  if (has_result) {
    for (const control::StationResult& s : data.result.directions[direction].stations) {
      const auto i = static_cast<std::size_t>(number++);
      const auto* averages = i < record.stations.size() ? &record.stations[i] : nullptr;
      table.rows.push_back(station_row(data, s, averages, number, units));
    }
  } else {
    for (const control::StationRecord& s : record.stations)
      table.rows.push_back(raw_station_row(data, s, ++number, units));
  }
  if (number == 0) table.rows.push_back({{"No station was measured."}});
}

}  // namespace

std::vector<Block> pressure_blocks(const ReportData& data) {
  if (data.story.pressure.bins().empty()) return {Block{ParagraphBlock{"No pressure was recorded."}}};
  return {Block{PicturesBlock{{{Picture::pressure, 0, 1, 0, kPressureHeight}}}}};
}

std::vector<Block> baseline_blocks(const ReportData& data) {
  TableBlock table;
  const CellAlign right = CellAlign::right;
  table.columns = {{"Direction", "", CellAlign::left, 1.5},
                   {"When", "", CellAlign::left, 0.8},
                   {"Mean", "Pa", right, 0.8},
                   {"Std. error", "Pa", right, 1.1},
                   {"Scatter, sd", "Pa", right, 1.1},
                   {"Mean > 0", "Pa", right, 0.95},
                   {"Mean < 0", "Pa", right, 0.95},
                   {"Averaged", "s", right, 1.0},
                   {"Samples", "", right, 0.95},
                   {"Begun at", "min", right, 0.95}};
  for (const control::DirectionRecord& d : data.record.directions) {
    for (const control::KeptPart& part : d.kept)
      table.rows.push_back(baseline_row(data, d.direction, "kept", part.before));
    if (d.before.taken) table.rows.push_back(baseline_row(data, d.direction, "before", d.before));
    if (d.after.taken) table.rows.push_back(baseline_row(data, d.direction, "after", d.after));
  }
  if (table.rows.empty()) return {Block{ParagraphBlock{"No zero-flow pressure was taken."}}};
  return {Block{std::move(table)}};
}

std::vector<Block> station_blocks(const ReportData& data, const DisplayUnits& units) {
  TableBlock table;
  table.columns = station_columns(units);
  std::size_t stations = 0;
  for (std::size_t i = 0; i < data.record.directions.size(); ++i) {
    add_stations(data, i, units, table);
    stations += data.record.directions[i].stations.size();
  }
  if (stations == 0) return {Block{ParagraphBlock{"No station was measured."}}};
  return {
      Block{std::move(table)},
      Block{ParagraphBlock{
          "Measured: indoor minus outdoor. Induced: size, zero-flow pressure taken off. Flow read: at the "
          "calibration's air; leak flow: at the air that enters the leaks. Signal: at the fan. Residual: "
          "from our curve."}}};
}

std::vector<Block> curve_blocks(const ReportData& data, const DisplayUnits&) {
  if (!data.result.computed) return {};
  const double below = kCurveHeight + 4;
  const double rest = kCurveWidth + 0.03;
  return {Block{PicturesBlock{{{Picture::curve, 0, kCurveWidth, 0, kCurveHeight},
                               {Picture::residuals, 0, kCurveWidth, below, kResidualsHeight},
                               {Picture::budget, rest, 1 - rest, 0, kCurveHeight}}}}};
}

}  // namespace leeward::daemon
