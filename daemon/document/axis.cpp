#include "daemon/document/axis.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace leeward::daemon {

namespace {

constexpr double kLeftRoom = 44;
constexpr double kBottomRoom = 27;
constexpr double kRightRoom = 6;
constexpr double kTopRoom = 5;
constexpr double kNumberGap = 3;
constexpr double kTickPitchX = 40;
constexpr double kTickPitchY = 13;
constexpr double kGridGrey = 0.86;
constexpr std::size_t kEndlessTicks = 200;

std::vector<double> multiples(const Axis& axis, double step) {
  std::vector<double> out;
  for (double i = std::ceil(axis.low / step - 1e-9); i * step <= axis.high + step * 1e-9; ++i) {
    out.push_back(i == 0 ? 0 : i * step);
    if (out.size() > kEndlessTicks) break;
  }
  return out;
}

/// The narrowest round step that is not too narrow, unless that leaves fewer than two ticks.
std::vector<double> linear_ticks(const Axis& axis, std::size_t most) {
  const double rough = (axis.high - axis.low) / static_cast<double>(std::max<std::size_t>(most, 1));
  const double decade = std::pow(10, std::floor(std::log10(rough)));
  std::vector<double> out;
  for (const double nice : {10.0, 5.0, 2.0, 1.0, 0.5}) {
    if (nice * decade < rough * (1 - 1e-9) && out.size() > 1) break;
    out = multiples(axis, nice * decade);
  }
  return out;
}

/// Round values of each decade, in the order of their use: the first list that is not too many wins.
std::vector<double> log_ticks(const Axis& axis, std::size_t most) {
  static const std::vector<std::vector<double>> kLists = {
      {1, 1.2, 1.4, 1.6, 1.8, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 9},
      {1, 1.5, 2, 3, 4, 5, 6, 8},
      {1, 2, 3, 5, 7},
      {1, 2, 5},
      {1, 3},
      {1}};
  const int first = static_cast<int>(std::floor(std::log10(axis.low)));
  const int last = static_cast<int>(std::ceil(std::log10(axis.high)));
  std::vector<double> best;
  for (const auto& list : kLists) {
    std::vector<double> out;
    for (int decade = first; decade <= last; ++decade)
      for (const double m : list) {
        const double value = m * std::pow(10, decade);
        if (axis.place(value) >= 0 && axis.place(value) <= 1) out.push_back(value);
      }
    if (best.empty() || !out.empty()) best = out;
    if (best.size() <= most) return best;
  }
  return best;
}

}  // namespace

double Axis::place(double value) const {
  if (is_log) return std::log(std::max(value, low * 1e-6) / low) / std::log(high / low);
  return (value - low) / (high - low);
}

Axis linear_axis(double low, double high, double margin_frac) {
  if (!std::isfinite(low) || !std::isfinite(high) || low > high) return {0, 1, false};
  double span = high - low;
  if (span <= std::max(std::abs(low), std::abs(high)) * 1e-9) span = std::max(std::abs(high), 1.0);
  return {low - span * margin_frac, high + span * margin_frac, false};
}

Axis log_axis(double low, double high, double margin_frac) {
  if (!std::isfinite(low) || !std::isfinite(high) || low <= 0 || low > high) return {1, 10, true};
  double span = std::log(high / low);
  if (span < 0.2) {
    low *= std::exp(-0.1);
    high *= std::exp(0.1);
    span = std::log(high / low);
  }
  const double margin = std::exp(span * margin_frac);
  return {low / margin, high * margin, true};
}

std::vector<double> ticks_of(const Axis& axis, std::size_t most) {
  return axis.is_log ? log_ticks(axis, most) : linear_ticks(axis, most);
}

std::string tick_text(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.6g", value);
  std::string out = text.data();
  if (out.starts_with('-')) out.replace(0, 1, "−");
  return out;
}

Point Plot::at(double x_value, double y_value) const {
  return {area.x + area.width * x.place(x_value), area.bottom() - area.height * y.place(y_value)};
}

Rect plot_area(const Rect& room, bool has_x_numbers) {
  const double below = has_x_numbers ? kBottomRoom : kRightRoom;
  return {room.x + kLeftRoom, room.y + kTopRoom, std::max(10.0, room.width - kLeftRoom - kRightRoom),
          std::max(10.0, room.height - kTopRoom - below)};
}

void draw_axes(Canvas& canvas, const Plot& plot, const AxisTitles& titles, bool has_x_numbers) {
  const Rect& a = plot.area;
  const Stroke grid{0.4, kGridGrey, 0};
  const TextStyle number{kTickText, false, 0, 0, TextAlign::centre};
  for (const double tick : ticks_of(plot.x, static_cast<std::size_t>(a.width / kTickPitchX))) {
    const double x = plot.at(tick, plot.y.low).x;
    canvas.line({x, a.y}, {x, a.bottom()}, grid);
    if (has_x_numbers) canvas.text({x, a.bottom() + 1.5}, tick_text(tick), number);
  }
  for (const double tick : ticks_of(plot.y, static_cast<std::size_t>(a.height / kTickPitchY))) {
    const double y = plot.at(plot.x.low, tick).y;
    canvas.line({a.x, y}, {a.right(), y}, grid);
    const TextStyle side{kTickText, false, 0, 0, TextAlign::right};
    canvas.text({a.x - kNumberGap, y - kTickText * 0.6}, tick_text(tick), side);
  }
  canvas.frame(a, {0.7, 0, 0});
  if (has_x_numbers)
    canvas.text({a.x + a.width / 2, a.bottom() + 12}, titles.x, {kTickText, false, 0, 0, TextAlign::centre});
  canvas.upright_text({a.x - kLeftRoom + 6, a.y + a.height / 2}, titles.y,
                      {kTickText, false, 0, 0, TextAlign::left});
}

}  // namespace leeward::daemon
