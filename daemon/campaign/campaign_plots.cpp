#include "daemon/campaign/campaign_plots.hpp"

#include <functional>

#include "daemon/campaign/plot_panels.hpp"
#include "daemon/document/drawing_svg.hpp"

namespace leeward::daemon {

namespace {

constexpr double kPageWidth = 620;
constexpr double kPageMargin = 16;
constexpr double kPanelGap = 12;
constexpr double kHeadRoom = 26;
constexpr double kFanHeight = 200;
constexpr double kSmallHeight = 190;

using Drawing = std::function<void(Canvas&, const Rect&)>;

/// Panels one below the other, small ones two to a row.
class Page {
 public:
  void add_wide(double height, Drawing draw) {
    if (at_right_) next_row();
    panels_.push_back({{kPageMargin, y_, kPageWidth - 2 * kPageMargin, height}, std::move(draw)});
    y_ += height + kPanelGap;
  }
  void add_small(Drawing draw) {
    const double width = (kPageWidth - 2 * kPageMargin - kPanelGap) / 2;
    const double x = at_right_ ? kPageMargin + width + kPanelGap : kPageMargin;
    panels_.push_back({{x, y_, width, kSmallHeight}, std::move(draw)});
    if (at_right_)
      next_row();
    else
      at_right_ = true;
  }
  [[nodiscard]] double height() const {
    return y_ + (at_right_ ? kSmallHeight + kPanelGap : 0) + kPageMargin - kPanelGap;
  }
  void draw(Canvas& canvas) const {
    for (const Panel& panel : panels_) panel.draw(canvas, panel.room);
  }

 private:
  struct Panel {
    Rect room;
    Drawing draw;
  };
  void next_row() {
    y_ += kSmallHeight + kPanelGap;
    at_right_ = false;
  }
  std::vector<Panel> panels_;
  double y_ = kPageMargin + kHeadRoom;
  bool at_right_ = false;
};

void add_step_panels(Page& page, const PlotData& data) {
  for (std::size_t tool = 0; tool < data.summary.outline.tools.size(); ++tool)
    page.add_wide(kFanHeight, [&data, tool](Canvas& canvas, const Rect& room) {
      draw_response_fan(canvas, room, data, tool);
    });
  page.add_small([&data](Canvas& canvas, const Rect& room) {
    draw_step_distribution(canvas, room, data, "settling", "Settling time within 1 Pa");
  });
  page.add_small([&data](Canvas& canvas, const Rect& room) {
    draw_step_distribution(canvas, room, data, "overshoot", "Overshoot");
  });
}

void add_wind_panels(Page& page, const PlotData& data, Scenario scenario,
                     const std::vector<std::string>& labels) {
  for (const std::string& label : labels)
    page.add_small([&data, scenario, label](Canvas& canvas, const Rect& room) {
      draw_over_wind(canvas, room, data, scenario, label);
    });
}

std::string head_of(const Outline& o) {
  return "Campaign " + o.name + ": " + std::to_string(o.runs) + " houses, seeds from " +
         std::to_string(o.seed);
}

}  // namespace

control::Result<std::string> campaign_svg(const Summary& summary, const Rows& rows) {
  const Outline& o = summary.outline;
  const PlotData data{summary, rows, jobs_of(o)};
  Page page;
  if (!o.step_targets_pa.empty()) add_step_panels(page, data);
  if (!o.gust_winds_m_s.empty())
    add_wind_panels(page, data, Scenario::gusts, {"rms error", "rms error over constant command"});
  if (!o.test_winds_m_s.empty())
    add_wind_panels(page, data, Scenario::tests, {"q50 error, size", "n error, size"});
  page.add_wide(worst_runs_height(summary),
                [&data](Canvas& canvas, const Rect& room) { draw_worst_runs(canvas, room, data); });
  const Size size{kPageWidth, page.height()};
  return drawing_svg(size, head_of(o),
                     "Step responses, distributions, errors over the wind and the worst runs.",
                     [&](Canvas& canvas) {
                       canvas.fill({0, 0, size.width, size.height}, 1);
                       canvas.text({kPageMargin, kPageMargin}, head_of(o), {11, true, 0, 0, TextAlign::left});
                       page.draw(canvas);
                     });
}

}  // namespace leeward::daemon
