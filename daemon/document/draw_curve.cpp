#include <algorithm>
#include <cmath>

#include "daemon/document/axis.hpp"
#include "daemon/document/curve_plot.hpp"
#include "daemon/document/pictures.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

constexpr double kPointSize = 4.6;
constexpr double kLegendLine = 10.5;
constexpr std::size_t kCurveSteps = 40;
constexpr double kBandGrey = 0.85;

struct Range {
  double low = INFINITY;
  double high = -INFINITY;
  void take(double v) {
    if (!std::isfinite(v) || v <= 0) return;
    low = std::min(low, v);
    high = std::max(high, v);
  }
};

double pressure_step(const Axis& x, std::size_t i) {
  return x.low * std::pow(x.high / x.low, static_cast<double>(i) / kCurveSteps);
}

Axis flow_axis(const ReportData& data, const Axis& x, const DisplayUnits& units) {
  Range range;
  const double reference = data.record.procedure.reference_pressure_pa;
  for (const control::DirectionResult& d : data.result.directions) {
    for (const CurvePoint& p : points_of(d)) range.take(p.flow_m3_s * units.flow.factor);
    for (const double end : {x.low, x.high})
      range.take(flow_at(d.own, reference, end).value * units.flow.factor);
  }
  return log_axis(range.low, range.high);
}

void draw_band(Canvas& canvas, const Plot& plot, const control::FitResult& fit, double reference_pa,
               double factor) {
  std::vector<Point> outline;
  std::vector<Point> back;
  for (std::size_t i = 0; i <= kCurveSteps; ++i) {
    const double p = pressure_step(plot.x, i);
    const CurveFlow q = flow_at(fit, reference_pa, p);
    if (!(q.low > 0)) return;
    outline.push_back(plot.at(p, q.high * factor));
    back.push_back(plot.at(p, q.low * factor));
  }
  outline.insert(outline.end(), back.rbegin(), back.rend());
  canvas.area(outline, kBandGrey);
}

void draw_fit(Canvas& canvas, const Plot& plot, const control::DirectionResult& d, double reference_pa,
              double factor) {
  const double from = flow_at(d.own, reference_pa, plot.x.low).value;
  const double to = flow_at(d.own, reference_pa, plot.x.high).value;
  if (!(from > 0) || !(to > 0)) return;
  canvas.line(plot.at(plot.x.low, from * factor), plot.at(plot.x.high, to * factor), stroke_of(d.direction));
}

std::string legend_text(const control::DirectionResult& d) {
  std::string out(direction_title(d.direction));
  if (d.own.n.known) out += ", n " + fixed_text(d.own.n.value, 3);
  return out;
}

void draw_legend(Canvas& canvas, const Plot& plot, const ReportData& data) {
  const TextStyle style{kTickText, false, 0, 0, TextAlign::left};
  const double x = plot.area.x + 6;
  double y = plot.area.y + 4;
  std::vector<std::pair<const control::DirectionResult*, std::string>> entries;
  for (const control::DirectionResult& d : data.result.directions) entries.emplace_back(&d, legend_text(d));
  entries.emplace_back(nullptr, "95 % band of our curve");
  double width = 0;
  for (const auto& [d, text] : entries) width = std::max(width, canvas.measure(text, style).width);
  canvas.fill({x - 2, y - 1, width + 28, kLegendLine * static_cast<double>(entries.size()) + 3}, 1);
  for (const auto& [d, text] : entries) {
    const double middle = y + kLegendLine / 2;
    if (d != nullptr) {
      canvas.line({x, middle}, {x + 20, middle}, stroke_of(d->direction));
      canvas.marker({x + 10, middle}, marker_of(d->direction), kPointSize);
    } else {
      canvas.fill({x, middle - 3, 20, 6}, kBandGrey);
    }
    canvas.text({x + 24, y}, text, style);
    y += kLegendLine;
  }
}

/// The flow at the reference pressure and its interval, where the result is read off.
void draw_reference(Canvas& canvas, const Plot& plot, const control::DirectionResult& d, double reference_pa,
                    double factor) {
  const control::Interval& q = d.own.q_ref_m3_s;
  if (!q.known || !(q.low > 0)) return;
  const Point low = plot.at(reference_pa, q.low * factor);
  const Point high = plot.at(reference_pa, q.high * factor);
  canvas.line(low, high, {0.9, 0, 0});
  for (const Point& end : {low, high}) canvas.line({end.x - 3, end.y}, {end.x + 3, end.y}, {0.9, 0, 0});
}

void draw_nothing(Canvas& canvas, const Rect& room) {
  canvas.text({room.x + room.width / 2, room.y + room.height / 2 - 5},
              "Nothing to draw: no station can be used", {8, false, 0, 0, TextAlign::centre});
}

}  // namespace

void draw_curve(Canvas& canvas, const Rect& room, const ReportData& data, const DisplayUnits& units) {
  const double reference = data.record.procedure.reference_pressure_pa;
  const double factor = units.flow.factor;
  const Axis x = curve_pressure_axis(data);
  const Plot plot{plot_area(room), x, flow_axis(data, x, units)};
  if (data.result.directions.empty()) return draw_nothing(canvas, room);
  canvas.clip(plot.area);
  for (const auto& d : data.result.directions) draw_band(canvas, plot, d.own, reference, factor);
  canvas.unclip();
  draw_axes(canvas, plot, {"induced pressure, Pa", "flow at standard air, " + units.flow.name});
  canvas.clip(plot.area);
  canvas.line(plot.at(reference, plot.y.low), plot.at(reference, plot.y.high), {0.6, 0.4, 1.5});
  for (const auto& d : data.result.directions) {
    draw_fit(canvas, plot, d, reference, factor);
    draw_reference(canvas, plot, d, reference, factor);
    for (const CurvePoint& p : points_of(d))
      canvas.marker(plot.at(p.pressure_pa, p.flow_m3_s * factor), marker_of(d.direction), kPointSize);
  }
  canvas.unclip();
  draw_legend(canvas, plot, data);
}

void draw_residuals(Canvas& canvas, const Rect& room, const ReportData& data) {
  double reach = 0.5;
  for (const auto& d : data.result.directions)
    for (const CurvePoint& p : points_of(d)) reach = std::max(reach, std::abs(std::expm1(p.residual)) * 100);
  const Plot plot{plot_area(room), curve_pressure_axis(data), linear_axis(-reach, reach, 0.12)};
  if (data.result.directions.empty()) return draw_nothing(canvas, room);
  draw_axes(canvas, plot, {"induced pressure, Pa", "residual, %"});
  canvas.clip(plot.area);
  canvas.line(plot.at(plot.x.low, 0), plot.at(plot.x.high, 0), {0.7, 0, 0});
  for (const auto& d : data.result.directions)
    for (const CurvePoint& p : points_of(d)) {
      const Point at = plot.at(p.pressure_pa, std::expm1(p.residual) * 100);
      canvas.line({at.x, plot.at(p.pressure_pa, 0).y}, at, {0.5, 0.4, 0});
      canvas.marker(at, marker_of(d.direction), kPointSize);
    }
  canvas.unclip();
}

}  // namespace leeward::daemon
