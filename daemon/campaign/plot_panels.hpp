#pragma once
/// The pictures of a campaign's page. Each draws into a room of its own.

#include <string>
#include <vector>

#include "daemon/campaign/summary.hpp"
#include "daemon/document/axis.hpp"

namespace leeward::daemon {

struct PlotData {
  const Summary& summary;
  const Rows& rows;
  std::vector<Job> jobs;
};

/// Percentiles of the induced pressure over time: 5 to 95 %, 25 to 75 %, and the median.
void draw_response_fan(Canvas& canvas, const Rect& room, const PlotData& data, std::size_t tool);

/// Share of the runs that have at most so much of a figure ("settling" or "overshoot"), one line a step.
void draw_step_distribution(Canvas& canvas, const Rect& room, const PlotData& data, const std::string& figure,
                            const std::string& title);

/// A measure over the wind classes: median (or mean), with its bootstrap interval.
void draw_over_wind(Canvas& canvas, const Rect& room, const PlotData& data, Scenario scenario,
                    const std::string& label);

/// One line a run; none of them breaks.
[[nodiscard]] double worst_runs_height(const Summary& summary);
void draw_worst_runs(Canvas& canvas, const Rect& room, const PlotData& data);

}  // namespace leeward::daemon
