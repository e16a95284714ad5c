#include <algorithm>
#include <cmath>

#include "daemon/document/axis.hpp"
#include "daemon/document/budget_entries.hpp"
#include "daemon/document/pictures.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

constexpr double kRowPitch = 24;
constexpr double kLeastPitch = 18;
constexpr double kBarHeight = 7;
constexpr double kFigureRoom = 40;

struct BarScale {
  double left = 0;
  double width = 0;
  double full = 1;  ///< relative uncertainty of the whole width
};

/// Name above, bar and figure below: names of any length fit.
void draw_bar(Canvas& canvas, const BarScale& scale, double y, const BudgetEntry& entry, bool is_total) {
  canvas.text({scale.left, y}, entry.name, {kTickText, is_total, 0, 0, TextAlign::left});
  const double length = std::max(0.5, scale.width * entry.relative_u / scale.full);
  const Rect bar{scale.left, y + 10, length, kBarHeight};
  canvas.fill(bar, is_total ? 0.1 : 0.6);
  canvas.frame(bar, {0.5, 0, 0});
  canvas.text({bar.right() + 4, y + 9}, fixed_text(entry.relative_u * 100, 2) + " %",
              {kTickText, is_total, 0, 0, TextAlign::left});
}

}  // namespace

void draw_budget(Canvas& canvas, const Rect& room, const ReportData& data) {
  const control::Budget& budget = data.result.budget;
  const std::vector<BudgetEntry> entries = budget_entries(data);
  const std::string q = "q" + fixed_text(data.record.procedure.reference_pressure_pa, 0);
  const TextStyle title{kTickText, false, 0, room.width, TextAlign::left};
  const Size head =
      canvas.text({room.x, room.y + 2}, "Standard uncertainty of " + q + " by cause, relative", title);
  BarScale scale{room.x, std::max(20.0, room.width - kFigureRoom), 0};
  for (const BudgetEntry& e : entries) scale.full = std::max(scale.full, e.relative_u);
  const double total = std::isfinite(budget.total) ? std::max(0.0, budget.total) : 0;
  scale.full = std::max({scale.full, total, 1e-6});
  double y = room.y + head.height + 7;
  const double rows = static_cast<double>(entries.size() + 1);
  const double pitch = std::min(kRowPitch + 6, std::max(kLeastPitch, (room.height - head.height - 8) / rows));
  for (const BudgetEntry& e : entries) {
    draw_bar(canvas, scale, y, e, false);
    y += pitch;
  }
  draw_bar(canvas, scale, y, {"all together (root of the sum of squares)", total}, true);
}

}  // namespace leeward::daemon
