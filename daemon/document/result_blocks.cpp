#include "daemon/document/result_blocks.hpp"

#include <cmath>

#include "daemon/report/json_figures.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::Interval;
using control::RunResult;

DisplayUnit hourly() { return {1, 0, "1/h"}; }

/// A figure of the result as text.
struct Figure {
  std::string symbol;
  std::string value;
  std::string interval;
  std::string meaning;
  bool known = false;
};

Figure figure(const std::string& symbol, const DisplayUnit& unit, const Interval& v,
              const std::string& meaning) {
  return {symbol, v.known ? figure_in(unit, v.value) : "not known", interval_in(unit, v), meaning, v.known};
}

/// Without an interval: the intervals of C and n do not give it.
Figure at_50(const std::string& symbol, const DisplayUnit& unit, double value, const std::string& meaning) {
  const bool known = std::isfinite(value);
  return {symbol, known ? figure_in(unit, value) : "not known", "no interval", meaning, known};
}

void add_at_50(const ReportData& data, const DisplayUnits& units, std::vector<Figure>& out) {
  const RunResult& r = data.result;
  if (data.record.procedure.reference_pressure_pa == kHeadlinePa || !r.c_m3_s_pan.known || !r.n.known) return;
  const double q50_m3_s = r.c_m3_s_pan.value * std::pow(kHeadlinePa, r.n.value);
  out.push_back(at_50("q50", units.flow, q50_m3_s, "read off the curve at 50 Pa"));
  const double volume = data.record.building.volume_m3;
  if (volume > 0)
    out.push_back(
        at_50("n50", hourly(), q50_m3_s * kHourlyPerSecond / volume, "read off the curve at 50 Pa"));
}

bool exponent_is_assumed(const ReportData& data) {
  bool assumed = data.record.procedure.fit == control::FitMethod::fixed_exponent;
  for (const control::DirectionResult& d : data.result.directions)
    assumed = assumed || (!d.own.valid && d.own.n.known);
  return assumed;
}

std::vector<Figure> figures_of(const ReportData& data, const DisplayUnits& units) {
  const RunResult& r = data.result;
  const std::string at = fixed_text(data.record.procedure.reference_pressure_pa, 0);
  std::vector<Figure> out;
  out.push_back(figure("q" + at, units.flow, r.q_ref_m3_s, "flow through the envelope at " + at + " Pa"));
  out.push_back(figure("n" + at, hourly(), r.n50_per_h, "air changes an hour at " + at + " Pa"));
  out.push_back(figure("qE" + at, units.flow_per_area, r.qe_m3_h_m2, "q" + at + " per envelope area"));
  out.push_back(figure("qF" + at, units.flow_per_area, r.qf_m3_h_m2, "q" + at + " per floor area"));
  add_at_50(data, units, out);
  out.push_back(figure("C", units.coefficient, r.c_m3_s_pan, "flow coefficient"));
  out.push_back(figure(
      "n", {}, r.n, exponent_is_assumed(data) ? "flow exponent, assumed and not measured" : "flow exponent"));
  out.push_back(figure("ELA4", units.leak_area, r.ela4_m2, "leakage area at 4 Pa, discharge coefficient 1"));
  out.push_back(
      figure("EqLA10", units.leak_area, r.eqla10_m2, "leakage area at 10 Pa, discharge coefficient 0.611"));
  return out;
}

std::string missing_words(const std::string& symbol) {
  if (symbol.starts_with("qE")) return "no envelope area stated";
  if (symbol.starts_with("qF")) return "no floor area stated";
  return symbol.size() > 1 && symbol.starts_with("n") ? "no volume stated" : "not computed";
}

/// Of two points or of an assumed exponent it says nothing.
bool r2_says_something(const control::FitResult& fit) { return fit.valid && fit.degrees_of_freedom > 0; }

double r2_of(const ReportData& data) {
  for (const control::DirectionResult& d : data.result.directions)
    if (!r2_says_something(d.standard)) return std::nan("");
  return data.result.r2;
}

TableBlock figure_table(const std::vector<Figure>& figures, double r2) {
  TableBlock table;
  table.columns = {{"Figure", "", CellAlign::left, 0.8},
                   {"Value", "", CellAlign::left, 1.7},
                   {"95 % interval", "", CellAlign::left, 2.2},
                   {"Meaning", "", CellAlign::left, 3.2}};
  for (const Figure& f : figures)
    table.rows.push_back({{f.symbol, f.value, f.known ? f.interval : missing_words(f.symbol), f.meaning}});
  table.rows.push_back(
      {{"r²", cell_text(r2, 5), "", "coefficient of determination, lowest of the directions"}});
  return table;
}

std::string with_range(const DisplayUnit& unit, const Interval& v) {
  if (!v.known) return "not known";
  return figure_in(unit, v.value) + "\n" + interval_in({unit.factor, unit.offset, ""}, v);
}

TableBlock direction_table(const ReportData& data, const DisplayUnits& units) {
  const std::string q = "q" + fixed_text(data.record.procedure.reference_pressure_pa, 0);
  TableBlock table;
  table.columns = {{"Direction", "", CellAlign::left, 1.4},
                   {q + ", ours", "", CellAlign::left, 1.2},
                   {"C, ours", "", CellAlign::left, 1.3},
                   {"n, ours", "", CellAlign::left, 1.2},
                   {q + ", procedure's", "", CellAlign::left, 1.5},
                   {"n, procedure's", "", CellAlign::left, 1.3},
                   {"r²", "", CellAlign::left, 0.8}};
  for (const control::DirectionResult& d : data.result.directions)
    table.rows.push_back(
        {{std::string(direction_title(d.direction)), with_range(units.flow, d.own.q_ref_m3_s),
          with_range(units.coefficient, d.own.c_m3_s_pan), with_range({}, d.own.n),
          with_range(units.flow, d.standard.q_ref_m3_s), with_range({}, d.standard.n),
          r2_says_something(d.standard) ? cell_text(d.standard.r2, 5) : "-"}});
  return table;
}

std::string basis_text(const ReportData& data) {
  const bool fixed = data.record.procedure.fit == control::FitMethod::fixed_exponent;
  return std::string(
             "Ours: generalized least squares with every cause in the budget, at standard air (20 °C, "
             "1013.25 hPa), 95 % interval. The procedure's: ") +
         (fixed ? "an assumed exponent" : "ordinary least squares of the logarithms") +
         ", at its reference air." +
         (data.result.directions.size() > 1 ? " The test's flow and exponent are the mean of both directions."
                                            : "");
}

}  // namespace

std::vector<Block> headline_blocks(const ReportData& data, const DisplayUnits& units) {
  if (!data.result.computed) return {};
  HeadlinesBlock block;
  for (const Figure& f : figures_of(data, units)) {
    if (f.symbol == "C" || block.figures.size() == 3) break;
    if (!f.known) continue;
    const std::string interval = f.interval == "no interval" ? f.interval : f.interval + " (95 %)";
    block.figures.push_back({f.symbol, f.value, interval, f.meaning});
  }
  if (block.figures.empty()) return {};
  return {Block{std::move(block)}};
}

std::vector<Block> figure_blocks(const ReportData& data, const DisplayUnits& units) {
  if (!data.result.computed) return {};
  std::vector<Block> out;
  out.emplace_back(figure_table(figures_of(data, units), r2_of(data)));
  out.emplace_back(direction_table(data, units));
  out.emplace_back(ParagraphBlock{basis_text(data)});
  return out;
}

}  // namespace leeward::daemon
