#include <algorithm>
#include <cmath>

#include "daemon/document/axis.hpp"
#include "daemon/document/pictures.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

using control::Phase;

constexpr double kSecondsPerMinute = 60;
constexpr double kLaneHeight = 9.5;
const TextStyle kNameStyle{kTickText, false, 0, 0, TextAlign::left};
constexpr std::size_t kMostLanes = 3;
constexpr double kLeastNamedWidth = 1.5;  // pt; a phase of a tick needs no name
// A crew may prepare for an hour: then the picture begins shortly before the rest.
constexpr double kLongPreparationFrac = 0.3;
constexpr double kPreparationShownFrac = 0.06;

struct PhaseLook {
  const char* words;
  double grey;
};

PhaseLook look_of(Phase phase) {
  switch (phase) {
    case Phase::prepare:
      return {"preparation", 1};
    case Phase::baseline:
    case Phase::closing_baseline:
      return {"zero flow", 0.88};
    case Phase::uncover:
      return {"fan made ready", 1};
    case Phase::look_round:
      return {"look-round", 0.95};
    case Phase::climb:
      return {"climb", 0.98};
    case Phase::stations:
      return {"stations", 0.92};
    case Phase::restore:
      return {"restore", 1};
    case Phase::hold:
      return {"hold", 0.92};
    case Phase::learn_drive:
      return {"drive experiment", 0.95};
    case Phase::tripped:
      return {"tripped", 0.8};
    case Phase::idle:
    case Phase::result:
      break;
  }
  return {"fan off", 1};
}

/// The name of a phase above the picture, and the line that leads down to where the phase begins.
struct PhaseLabel {
  const char* words;
  double begin_x = 0;
  double text_x = 0;
  double width = 0;
  std::size_t lane = 0;  ///< 0 the lowest
};

/// What part of the run is drawn.
struct Window {
  double begin_s = 0;
  double end_s = 1;
};

Window window_of(const RunStory& story) {
  Window w{0, std::max(story.duration_s, 1.0)};
  if (story.phases.empty() || story.phases[0].phase != Phase::prepare) return w;
  const double prepared_s = story.phases[0].end_s;
  const double rest_s = w.end_s - prepared_s;
  if (rest_s > 0 && prepared_s > kLongPreparationFrac * w.end_s)
    w.begin_s = std::max(0.0, prepared_s - kPreparationShownFrac * rest_s);
  return w;
}

/// Long texts beside each other: each takes the first lane that is free where it begins.
class Lanes {
 public:
  /// @returns the lane, or kMostLanes when none is free
  std::size_t take(double from, double to) {
    for (std::size_t i = 0; i < kMostLanes; ++i) {
      if (free_from_[i] > from) continue;
      free_from_[i] = to + 4;
      return i;
    }
    return kMostLanes;
  }

 private:
  double free_from_[kMostLanes] = {};
};

double x_of(const Plot& plot, double at_s) { return plot.at(at_s / kSecondsPerMinute, 0).x; }

/// Names that would stand on another move up a lane; where no lane is free the shading has to do.
std::vector<PhaseLabel> labels_of(Canvas& canvas, const Plot& plot, const RunStory& story,
                                  const Window& window) {
  Lanes lanes;
  std::vector<PhaseLabel> out;
  for (const PhaseSpan& span : story.phases) {
    const double left = x_of(plot, std::max(span.begin_s, window.begin_s));
    if (span.end_s <= window.begin_s || x_of(plot, span.end_s) - left < kLeastNamedWidth) continue;
    PhaseLabel label{look_of(span.phase).words, left, 0, 0, 0};
    label.width = canvas.measure(label.words, kNameStyle).width;
    label.text_x = std::min(left + 2, plot.area.right() - label.width);
    label.lane = lanes.take(label.text_x, label.text_x + label.width);
    if (label.lane < kMostLanes) out.push_back(label);
  }
  return out;
}

void draw_shades(Canvas& canvas, const Plot& plot, const RunStory& story, const Window& window) {
  for (const PhaseSpan& span : story.phases) {
    if (span.end_s <= window.begin_s) continue;
    const double left = x_of(plot, std::max(span.begin_s, window.begin_s));
    canvas.fill({left, plot.area.y, x_of(plot, span.end_s) - left, plot.area.height},
                look_of(span.phase).grey);
    canvas.line({left, plot.area.y}, {left, plot.area.bottom()}, {0.5, 0.6, 0});
  }
}

void draw_labels(Canvas& canvas, const Plot& plot, const std::vector<PhaseLabel>& labels) {
  const auto top_of = [&plot](const PhaseLabel& l) {
    return plot.area.y - kLaneHeight * static_cast<double>(l.lane + 1);
  };
  for (const PhaseLabel& l : labels)
    canvas.line({l.begin_x, top_of(l) + 1}, {l.begin_x, plot.area.y}, {0.5, 0.6, 0});
  // Over the lines that lead down from the lanes above.
  for (const PhaseLabel& l : labels) {
    canvas.fill({l.text_x - 0.5, top_of(l) + 1, l.width + 1, kLaneHeight - 1.5}, 1);
    canvas.text({l.text_x, top_of(l)}, l.words, kNameStyle);
  }
}

/// Parts between gaps, low and high of each bin joined into one line.
void draw_trace(Canvas& canvas, const Plot& plot, const RunStory& story, const Window& window) {
  const Stroke stroke{0.55, 0, 0};
  std::vector<Point> part;
  for (const EnvelopeBin& bin : story.pressure.bins()) {
    if (bin.at_s < window.begin_s) continue;
    if (bin.after_gap && !part.empty()) {
      canvas.polyline(part, stroke);
      part.clear();
    }
    const double minutes = bin.at_s / kSecondsPerMinute;
    part.push_back(plot.at(minutes, bin.low_pa));
    if (bin.high_pa != bin.low_pa) part.push_back(plot.at(minutes, bin.high_pa));
  }
  if (part.size() > 1) canvas.polyline(part, stroke);
}

/// A bar over the averaging time with the station's number beside it, on the side of zero pressure.
void draw_stations(Canvas& canvas, const Plot& plot, const ReportData& data) {
  for (const control::DirectionRecord& d : data.record.directions) {
    int number = 0;
    double taken_up_to = 0;
    for (const control::StationRecord& s : d.stations) {
      ++number;
      const Point from = plot.at(data.story.seconds_at(s.begin_ns) / kSecondsPerMinute, s.pressure_mean_pa);
      const Point to = plot.at(data.story.seconds_at(s.end_ns) / kSecondsPerMinute, s.pressure_mean_pa);
      if (!std::isfinite(from.y)) continue;
      canvas.line(from, to, {2.4, 0, 0});
      const std::string text = std::to_string(number);
      const TextStyle style{kTickText, false, 0, 0, TextAlign::centre};
      const double half = canvas.measure(text, style).width / 2 + 1;
      const double x = (from.x + to.x) / 2;
      if (x - half < taken_up_to) continue;
      taken_up_to = x + half;
      const double top = s.pressure_mean_pa < 0 ? from.y - 17 : from.y + 7;
      // The trace may pass here on its way to the next station.
      canvas.fill({x - half, top + 1, 2 * half, kLaneHeight - 1}, look_of(Phase::stations).grey);
      canvas.text({x, top}, text, style);
    }
  }
}

Axis pressure_axis(const ReportData& data) {
  double low = 0;
  double high = 0;
  for (const EnvelopeBin& bin : data.story.pressure.bins()) {
    low = std::min(low, bin.low_pa);
    high = std::max(high, bin.high_pa);
  }
  // A calm run of a few tenths of a pascal is shown as calm.
  if (high - low < 10) return linear_axis(low - 5, high + 5);
  return linear_axis(low, high, 0.09);
}

}  // namespace

void draw_pressure(Canvas& canvas, const Rect& room, const ReportData& data) {
  const Window window = window_of(data.story);
  Plot plot{plot_area(room),
            {window.begin_s / kSecondsPerMinute, window.end_s / kSecondsPerMinute, false},
            pressure_axis(data)};
  const std::vector<PhaseLabel> labels = labels_of(canvas, plot, data.story, window);
  std::size_t lanes = 0;
  for (const PhaseLabel& label : labels) lanes = std::max(lanes, label.lane + 1);
  const double names_height = kLaneHeight * static_cast<double>(lanes);
  plot.area.y += names_height;
  plot.area.height -= names_height;
  draw_shades(canvas, plot, data.story, window);
  draw_labels(canvas, plot, labels);
  std::string x_title = "time, min from the beginning of the recording";
  if (window.begin_s > 0)
    x_title += " (the first " + seconds_text(window.begin_s) + ", preparation, are left out)";
  draw_axes(canvas, plot, {x_title, "indoor minus outdoor, Pa"});
  canvas.clip(plot.area);
  canvas.line(plot.at(plot.x.low, 0), plot.at(plot.x.high, 0), {0.5, 0.3, 0});
  draw_trace(canvas, plot, data.story, window);
  draw_stations(canvas, plot, data);
  canvas.unclip();
}

}  // namespace leeward::daemon
