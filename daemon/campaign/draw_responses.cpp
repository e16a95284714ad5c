#include <algorithm>
#include <cmath>

#include "daemon/campaign/plot_panels.hpp"
#include "sim/campaign/percentile.hpp"

namespace leeward::daemon {

namespace {

constexpr TextStyle kPanelTitle{8, true, 0, 0, TextAlign::left};
constexpr double kTitleRoom = 13;

Rect below_title(Canvas& canvas, const Rect& room, const std::string& title) {
  canvas.text({room.x, room.y}, title, kPanelTitle);
  return {room.x, room.y + kTitleRoom, room.width, room.height - kTitleRoom};
}

/// Of each instant the pressures of all runs, ascending.
std::vector<std::vector<double>> columns_in_time(const PlotData& data, std::size_t tool) {
  std::vector<std::vector<double>> out;
  for (const auto& [number, row] : data.rows) {
    const Job& job = data.jobs[number];
    if (job.scenario != Scenario::steps || job.tool != tool) continue;
    out.resize(std::max(out.size(), row.response.size()));
    for (std::size_t i = 0; i < row.response.size(); ++i)
      if (std::isfinite(row.response[i])) out[i].push_back(row.response[i]);
  }
  for (std::vector<double>& column : out) std::sort(column.begin(), column.end());
  return out;
}

/// The samples of all steps follow one another: each step has one at its beginning and one at its end.
double time_of(const PlotData& data, std::size_t i) {
  const double each_s = data.summary.outline.step_each_s;
  const auto samples = static_cast<std::size_t>(std::lround(each_s / sim::kResponsePitch)) + 1;
  return static_cast<double>(i / samples) * each_s + static_cast<double>(i % samples) * sim::kResponsePitch;
}

void draw_band(Canvas& canvas, const Plot& plot, const PlotData& data,
               const std::vector<std::vector<double>>& columns, double part, double grey) {
  std::vector<Point> outline;
  for (std::size_t i = 0; i < columns.size(); ++i)
    outline.push_back(plot.at(time_of(data, i), sim::percentile(columns[i], part)));
  for (std::size_t i = columns.size(); i-- > 0;)
    outline.push_back(plot.at(time_of(data, i), sim::percentile(columns[i], 1 - part)));
  canvas.area(outline, grey);
}

/// One line of a distribution.
struct Ladder {
  std::string name;
  std::string unit;
  std::vector<double> values;  ///< ascending
  Stroke stroke;
};

constexpr double kLegendLine = 11;
constexpr double kLegendRoom = 110;

/// A dash for each step, a grey for each of the settings.
std::vector<Ladder> ladders_of(const PlotData& data, const std::string& figure) {
  const Outline& o = data.summary.outline;
  constexpr double dashes[] = {0, 4, 1.5};
  std::vector<Ladder> out;
  std::size_t step = 0;
  for (const Measure& measure : measures_of(o, Scenario::steps)) {
    if (!measure.label.starts_with(figure + " ") || !measure.is_compared) continue;
    for (std::size_t tool = 0; tool < o.tools.size(); ++tool) {
      Ladder ladder{measure.label.substr(figure.size() + 1), measure.unit, {}, {}};
      if (o.tools.size() > 1) ladder.name += ", " + o.tools[tool];
      ladder.stroke = {0.9, tool == 0 ? 0 : 0.55, dashes[step % std::size(dashes)]};
      for (const auto& [number, row] : data.rows) {
        const Job& job = data.jobs[number];
        if (job.scenario != Scenario::steps || job.tool != tool) continue;
        if (const double v = measure.value(row.figures); std::isfinite(v)) ladder.values.push_back(v);
      }
      std::sort(ladder.values.begin(), ladder.values.end());
      out.push_back(std::move(ladder));
    }
    ++step;
  }
  return out;
}

}  // namespace

void draw_response_fan(Canvas& canvas, const Rect& whole, const PlotData& data, std::size_t tool) {
  const Outline& o = data.summary.outline;
  const Rect room = below_title(
      canvas, whole,
      "Step responses, settings " + o.tools[tool] + ": median, 25 to 75 % and 5 to 95 % of the houses");
  const auto columns = columns_in_time(data, tool);
  if (columns.empty()) return;
  double most = *std::max_element(o.step_targets_pa.begin(), o.step_targets_pa.end());
  for (const auto& column : columns) most = std::max(most, sim::percentile(column, 0.95));
  const double last_s = o.step_each_s * static_cast<double>(o.step_targets_pa.size());
  const Plot plot{plot_area(room, true), linear_axis(0, last_s, 0), linear_axis(0, most)};
  canvas.clip(plot.area);
  draw_band(canvas, plot, data, columns, 0.05, 0.86);
  draw_band(canvas, plot, data, columns, 0.25, 0.68);
  canvas.unclip();
  draw_axes(canvas, plot, {"time, s", "induced pressure, Pa"}, true);
  canvas.clip(plot.area);
  for (std::size_t i = 0; i < o.step_targets_pa.size(); ++i) {
    const double from_s = o.step_each_s * static_cast<double>(i);
    canvas.line(plot.at(from_s, o.step_targets_pa[i]), plot.at(from_s + o.step_each_s, o.step_targets_pa[i]),
                {0.6, 0.3, 2});
  }
  std::vector<Point> median;
  for (std::size_t i = 0; i < columns.size(); ++i)
    median.push_back(plot.at(time_of(data, i), sim::percentile(columns[i], 0.5)));
  canvas.polyline(median, {1, 0, 0});
  canvas.unclip();
}

void draw_step_distribution(Canvas& canvas, const Rect& whole, const PlotData& data,
                            const std::string& figure, const std::string& title) {
  const Rect room = below_title(canvas, whole, title);
  const std::vector<Ladder> ladders = ladders_of(data, figure);
  double most = 0;
  for (const Ladder& ladder : ladders)
    if (!ladder.values.empty()) most = std::max(most, ladder.values.back());
  const Plot plot{plot_area(room, true), linear_axis(0, most, 0.02), linear_axis(0, 100, 0)};
  draw_axes(canvas, plot, {figure + ", " + (ladders.empty() ? "" : ladders[0].unit), "part of the houses, %"},
            true);
  double y = plot.area.bottom() - kLegendLine * static_cast<double>(ladders.size()) - 3;
  for (const Ladder& ladder : ladders) {
    std::vector<Point> points;
    const auto count = static_cast<double>(ladder.values.size());
    for (std::size_t i = 0; i < ladder.values.size(); ++i)
      points.push_back(plot.at(ladder.values[i], 100 * static_cast<double>(i + 1) / count));
    canvas.polyline(points, ladder.stroke);
    const double x = plot.area.right() - kLegendRoom;
    canvas.line({x, y + 5}, {x + 18, y + 5}, ladder.stroke);
    canvas.text({x + 22, y}, ladder.name, {kTickText, false, 0, 0, TextAlign::left});
    y += kLegendLine;
  }
}

}  // namespace leeward::daemon
