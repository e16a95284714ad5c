#include "daemon/live_view/staircase_plot.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/live_view/dot_canvas.hpp"
#include "daemon/live_view/plan_ahead.hpp"
#include "daemon/live_view/screen_text.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kScaleColumns = 5;
constexpr std::size_t kLeastColumns = 16;
constexpr std::size_t kLeastHeight = 5;
constexpr double kRolling_s = 120;  ///< shown where there is no run
constexpr double kGap_s = 2;        ///< longer without a reading: the line breaks

/// What part of time and pressure the picture shows.
struct PlotView {
  double from_s = 0;
  double to_s = 1;
  double now_s = 0;
  double low_pa = 0;
  double high_pa = 1;
  double up = 1;  ///< -1 draws pressures below outdoors upwards
  bool is_both = false;
  std::vector<PlannedStep> steps;
};

bool goes_both_ways(const WatchState& state) {
  return list_at(object_at(state.status, "plan"), "directions").size() > 1 && !running_run(state).empty();
}

/// Without a run the direction is that of the readings.
double upwards(const WatchState& state) {
  const std::string direction = text_at(state.status, "direction");
  if (direction.empty()) return state.course.points().back().middle_pa() > 0 ? 1 : -1;
  return direction == "pressurize" ? 1 : -1;
}

PlotView view_of_plot(const WatchState& state) {
  PlotView view;
  const std::vector<CoursePoint>& points = state.course.points();
  view.now_s = points.back().at_s;
  view.steps = steps_to_come(state.status, state.procedure, view.now_s);
  const bool is_run = !running_run(state).empty() && std::isfinite(state.run_begin_s);
  view.from_s = is_run ? state.run_begin_s : view.now_s - kRolling_s;
  view.to_s = std::max(view.steps.empty() ? view.now_s : view.steps.back().to_s, view.from_s + 30);
  view.is_both = goes_both_ways(state);
  view.up = view.is_both ? 1 : upwards(state);
  view.low_pa = 0;
  view.high_pa = 10;
  const auto include = [&view](double pa) {
    view.low_pa = std::min(view.low_pa, view.up * pa);
    view.high_pa = std::max(view.high_pa, view.up * pa);
  };
  for (const PlannedStep& step : view.steps) include(step.target_pa);
  for (const CoursePoint& point : points)
    if (point.at_s >= view.from_s) {
      include(point.low_pa);
      include(point.high_pa);
    }
  return view;
}

/// Places of the picture for a time and a pressure.
class PlotScale {
 public:
  PlotScale(const PlotView& view, const DotCanvas& canvas)
      : view_(view), wide_(canvas.dots_wide()), high_(canvas.dots_high()) {}
  [[nodiscard]] long x(double at_s) const {
    return std::lround((at_s - view_.from_s) / (view_.to_s - view_.from_s) * static_cast<double>(wide_ - 1));
  }
  [[nodiscard]] long y(double pa) const {
    return std::lround((view_.high_pa - view_.up * pa) / (view_.high_pa - view_.low_pa) *
                       static_cast<double>(high_ - 1));
  }
  [[nodiscard]] double seconds_a_dot() const {
    return (view_.to_s - view_.from_s) / static_cast<double>(wide_);
  }

 private:
  const PlotView& view_;
  std::size_t wide_;
  std::size_t high_;
};

void draw_planned(DotCanvas& canvas, const PlotScale& scale, const PlotView& view) {
  const PlannedStep* before = nullptr;
  for (const PlannedStep& step : view.steps) {
    const long y = scale.y(step.target_pa);
    if (before != nullptr)
      canvas.line(scale.x(step.from_s), scale.y(before->target_pa), scale.x(step.from_s), y, Ink::planned);
    canvas.line(scale.x(step.from_s), y, scale.x(step.to_s), y, Ink::planned);
    before = &step;
  }
}

void draw_measured(DotCanvas& canvas, const PlotScale& scale, const std::vector<CoursePoint>& points) {
  const double gap_s = std::max(kGap_s, 3 * scale.seconds_a_dot());
  const CoursePoint* before = nullptr;
  for (const CoursePoint& point : points) {
    const long x = scale.x(point.at_s);
    canvas.line(x, scale.y(point.low_pa), x, scale.y(point.high_pa), Ink::measured);
    if (before != nullptr && point.at_s - before->at_s < gap_s && scale.x(before->at_s) >= 0)
      canvas.line(scale.x(before->at_s), scale.y(before->middle_pa()), x, scale.y(point.middle_pa()),
                  Ink::measured);
    // What was wanted is dotted in the past too, where the line leaves room for it.
    if (std::isfinite(point.target_pa) && x >= 0)
      canvas.line(x, scale.y(std::copysign(point.target_pa, point.middle_pa())), x,
                  scale.y(std::copysign(point.target_pa, point.middle_pa())), Ink::planned);
    before = &point;
  }
}

std::string title_of(const PlotView& view, std::size_t width, bool is_unicode) {
  const std::string side = view.is_both    ? "Pa, up is above outdoors"
                           : view.up < 0.0 ? "Pa below outdoors"
                                           : "Pa above outdoors";
  if (view.steps.empty()) return cut_to(side, width);
  return as_many_as_fit(
      {side, is_unicode ? "dots: plan" : "--: plan", is_unicode ? "line: measured" : "*: measured"}, width);
}

/// "12 min ago" at the left, "now" at its place, "in 6 min" at the right end.
std::string time_line(const PlotView& view, std::size_t columns) {
  const double past_s = view.now_s - view.from_s;
  const double part = past_s / (view.to_s - view.from_s);
  const auto now_at = static_cast<std::size_t>(part * static_cast<double>(columns - 1));
  std::string line(columns, ' ');
  const auto put = [&line](std::size_t at, const std::string& text) {
    const bool is_free = at + text.size() <= line.size() &&
                         line.find_first_not_of(' ', at > 0 ? at - 1 : 0) >= at + text.size() + 1;
    if (is_free) line.replace(at, text.size(), text);
  };
  put(std::min(now_at, columns - 3), "now");
  const std::string left = seconds_text(std::round(past_s)) + " ago";
  if (left.size() + 1 < now_at) line.replace(0, left.size(), left);
  const std::string right = "in " + seconds_text(std::round(view.to_s - view.now_s));
  if (!view.steps.empty() && right.size() < columns) put(columns - right.size(), right);
  return line.substr(0, line.find_last_not_of(' ') + 1);
}
}  // namespace

std::vector<std::string> staircase_plot(const WatchState& state, std::size_t width, std::size_t height,
                                        bool is_unicode) {
  if (state.course.empty() || height < kLeastHeight || width < kScaleColumns + kLeastColumns) return {};
  const PlotView view = view_of_plot(state);
  const std::size_t columns = width - kScaleColumns;
  const std::size_t rows = height - 2;
  DotCanvas canvas(columns, rows, is_unicode);
  const PlotScale scale(view, canvas);
  const auto right_end = static_cast<long>(canvas.dots_wide()) - 1;
  canvas.line(0, scale.y(0), right_end, scale.y(0), Ink::zero);
  draw_planned(canvas, scale, view);
  draw_measured(canvas, scale, state.course.points());
  std::vector<std::string> out{title_of(view, width, is_unicode)};
  const auto zero_row = static_cast<std::size_t>(scale.y(0)) * rows / canvas.dots_high();
  for (std::size_t row = 0; row < rows; ++row) {
    std::string label;
    if (row == 0) label = fixed_text(view.high_pa, 0);
    if (row + 1 == rows) label = fixed_text(view.low_pa, 0);
    if (row == zero_row) label = "0";
    out.push_back(right_in(label, kScaleColumns - 1) + " " + canvas.row(row));
  }
  out.push_back(std::string(kScaleColumns, ' ') + time_line(view, columns));
  return out;
}

}  // namespace leeward::daemon
