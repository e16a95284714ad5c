#pragma once
/// Axes of a picture, and where their ticks stand.

#include <cstddef>
#include <string>
#include <vector>

#include "daemon/document/canvas.hpp"

namespace leeward::daemon {

/// Range   low < high, both finite; above 0 where logarithmic
struct Axis {
  double low = 0;
  double high = 1;
  bool is_log = false;
  /// 0 at the low end, 1 at the high one, beyond them outside.
  [[nodiscard]] double place(double value) const;
};

/// An axis that shows all of the range with a margin; values that are not finite count as 0 to 1.
[[nodiscard]] Axis linear_axis(double low, double high, double margin_frac = 0.06);
[[nodiscard]] Axis log_axis(double low, double high, double margin_frac = 0.06);

/// Round values within the axis, at most `most` (and at least one) of them.
[[nodiscard]] std::vector<double> ticks_of(const Axis& axis, std::size_t most);
/// The shortest text of a round value.
[[nodiscard]] std::string tick_text(double value);

/// Two axes on a piece of paper.
struct Plot {
  Rect area;
  Axis x;
  Axis y;
  [[nodiscard]] Point at(double x_value, double y_value) const;
};

struct AxisTitles {
  std::string x;
  std::string y;
};
inline constexpr double kTickText = 7.5;  ///< pt; nothing in a report is smaller

/// Frame, light lines at the ticks, their numbers, titles. The plot's own area stays free for the data.
void draw_axes(Canvas& canvas, const Plot& plot, const AxisTitles& titles, bool has_x_numbers = true);

/// The area of a plot within `room` that leaves space for numbers and titles.
[[nodiscard]] Rect plot_area(const Rect& room, bool has_x_numbers = true);

}  // namespace leeward::daemon
