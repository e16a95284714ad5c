#include <algorithm>
#include <cmath>
#include <cstdio>

#include "daemon/campaign/plot_panels.hpp"

namespace leeward::daemon {

namespace {

struct WindPoint {
  double wind_m_s = 0;
  StatedFigure figure;
};

using WindLine = std::vector<WindPoint>;

WindLine points_over_wind(const PlotData& data, Scenario scenario, const std::string& label,
                          std::size_t tool) {
  WindLine out;
  for (const GroupSummary& group : data.summary.groups) {
    if (group.scenario != scenario || group.tool != tool) continue;
    for (const MeasureSummary& measure : group.measures)
      if (measure.label == label && !measure.figures.empty() && std::isfinite(measure.figures[0].value))
        out.push_back({group.wind_m_s, measure.figures[0]});
  }
  return out;
}

std::string unit_of(const PlotData& data, Scenario scenario, const std::string& label) {
  for (const Measure& measure : measures_of(data.summary.outline, scenario))
    if (measure.label == label) return measure.unit;
  return {};
}

struct Look {
  Stroke stroke;
  Marker marker;
  double aside = 0;  ///< so that two intervals at one wind can be told apart
};

void draw_wind_line(Canvas& canvas, const Plot& plot, const WindLine& line, const Look& look) {
  const auto at = [&](double wind_m_s, double value) {
    const Point exact = plot.at(wind_m_s, value);
    return Point{exact.x + look.aside, exact.y};
  };
  std::vector<Point> points;
  for (const WindPoint& point : line) {
    points.push_back(at(point.wind_m_s, point.figure.value));
    if (std::isfinite(point.figure.low))
      canvas.line(at(point.wind_m_s, point.figure.low), at(point.wind_m_s, point.figure.high), {0.7, 0.4, 0});
  }
  canvas.polyline(points, look.stroke);
  for (const Point& point : points) canvas.marker(point, look.marker, 4);
}

constexpr double kWorstLine = 10;
constexpr double kTitleLines = 1.4;

}  // namespace

void draw_over_wind(Canvas& canvas, const Rect& whole, const PlotData& data, Scenario scenario,
                    const std::string& label) {
  const Outline& o = data.summary.outline;
  canvas.text({whole.x, whole.y}, std::string(scenario_name(scenario)) + ": " + label,
              {8, true, 0, 0, TextAlign::left});
  std::vector<WindLine> lines;
  double most = 0;
  double widest = 1;
  for (std::size_t tool = 0; tool < o.tools.size(); ++tool) {
    lines.push_back(points_over_wind(data, scenario, label, tool));
    for (const WindPoint& point : lines.back()) {
      most = std::max({most, point.figure.value, std::isfinite(point.figure.high) ? point.figure.high : 0});
      widest = std::max(widest, point.wind_m_s);
    }
  }
  const Rect room{whole.x, whole.y + 13, whole.width, whole.height - 13};
  const Plot plot{plot_area(room, true), linear_axis(0, widest), linear_axis(0, most)};
  const std::string unit = unit_of(data, scenario, label);
  const char* figure = lines[0].empty() ? "" : figure_name(lines[0][0].figure.figure);
  draw_axes(canvas, plot, {"wind at 10 m, m/s", figure + (unit.empty() ? std::string() : ", " + unit)}, true);
  for (std::size_t tool = 0; tool < lines.size(); ++tool) {
    const Look look = tool == 0 ? Look{{0.9, 0, 0}, Marker::disc, 0} : Look{{0.9, 0, 2.5}, Marker::square, 3};
    draw_wind_line(canvas, plot, lines[tool], look);
    if (lines.size() < 2) continue;
    const double y = plot.area.y + 4 + 11 * static_cast<double>(tool);
    canvas.line({plot.area.x + 6, y + 5}, {plot.area.x + 24, y + 5}, look.stroke);
    canvas.text({plot.area.x + 28, y}, o.tools[tool], {kTickText, false, 0, 0, TextAlign::left});
  }
}

double worst_runs_height(const Summary& summary) {
  // Ten runs and a title for each scenario.
  const auto titles = static_cast<double>(summary.worst.size() / kWorstRuns + 1);
  return kWorstLine * (static_cast<double>(summary.worst.size()) + titles * (1 + kTitleLines));
}

void draw_worst_runs(Canvas& canvas, const Rect& room, const PlotData& data) {
  double y = room.y;
  const WorstRun* last = nullptr;
  const TextStyle plain{kTickText, false, 0, 0, TextAlign::left};
  for (const WorstRun& run : data.summary.worst) {
    if (last == nullptr || last->job.scenario != run.job.scenario) {
      canvas.text({room.x, y},
                  "Worst of " + std::string(scenario_name(run.job.scenario)) + ", by " + run.label,
                  {8, true, 0, 0, TextAlign::left});
      y += kWorstLine * kTitleLines;
    }
    char value[40];
    std::snprintf(value, sizeof value, "%.3g %s", run.value, run.unit.c_str());
    canvas.text({room.x, y}, value, plain);
    canvas.text({room.x + 50, y},
                wind_text(run.job.wind_m_s) + ", " + data.summary.outline.tools[run.job.tool], plain);
    canvas.text({room.x + 150, y}, run.command, plain);
    y += kWorstLine;
    last = &run;
  }
}

}  // namespace leeward::daemon
