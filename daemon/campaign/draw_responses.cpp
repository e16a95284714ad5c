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

void draw_step_distribution(Canvas& canvas, const Rect& whole, const PlotData& data, const char* figure,
                            const char* title) {
  const Outline& o = data.summary.outline;
  const Rect room = below_title(canvas, whole, title);
  const std::vector<Measure> measures = measures_of(o, Scenario::steps);
  std::vector<std::vector<double>> lines;
  std::vector<std::string> names;
  double most = 0;
  for (const Measure& measure : measures) {
    if (!measure.label.starts_with(std::string(figure) + " ")) continue;
    if (measure.unit.empty()) continue;
    for (std::size_t tool = 0; tool < o.tools.size(); ++tool) {
      std::vector<double> values;
      for (const auto& [number, row] : data.rows)
        if (data.jobs[number].scenario == Scenario::steps && data.jobs[number].tool == tool)
          if (const double value = measure.value(row.figures); std::isfinite(value)) values.push_back(value);
      std::sort(values.begin(), values.end());
      if (!values.empty()) most = std::max(most, values.back());
      lines.push_back(std::move(values));
      names.push_back(measure.label.substr(std::string(figure).size() + 1) +
                      (o.tools.size() > 1 ? ", " + o.tools[tool] : ""));
    }
  }
  const Plot plot{plot_area(room, true), linear_axis(0, most, 0.02), linear_axis(0, 100, 0)};
  draw_axes(
      canvas, plot,
      {std::string(figure) + (figure == std::string("settling") ? ", s" : ", Pa"), "part of the houses, %"},
      true);
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const Stroke stroke{0.9, 0.25 * static_cast<double>(k % 3), static_cast<double>(k / 3) * 2.5};
    std::vector<Point> points;
    for (std::size_t i = 0; i < lines[k].size(); ++i)
      points.push_back(
          plot.at(lines[k][i], 100 * static_cast<double>(i + 1) / static_cast<double>(lines[k].size())));
    canvas.polyline(points, stroke);
    const double y = plot.area.bottom() - 11 * static_cast<double>(lines.size() - k) - 3;
    canvas.line({plot.area.right() - 110, y + 5}, {plot.area.right() - 92, y + 5}, stroke);
    canvas.text({plot.area.right() - 88, y}, names[k], {kTickText, false, 0, 0, TextAlign::left});
  }
}

}  // namespace leeward::daemon
