#pragma once
/// The pictures of a report. Each is drawn by one function, on whatever surface: page, SVG or PNG.

#include <string>
#include <string_view>

#include "daemon/document/canvas.hpp"
#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

/// Building pressure over the run, its phases shaded and named, its stations numbered.
void draw_pressure(Canvas& canvas, const Rect& room, const ReportData& data);
/// Log-log: stations, our curve, its 95 % band, the flow at the reference pressure.
void draw_curve(Canvas& canvas, const Rect& room, const ReportData& data, const DisplayUnits& units);
/// Each station's distance from our curve, over the same pressures.
void draw_residuals(Canvas& canvas, const Rect& room, const ReportData& data);
/// Where the width of the interval comes from.
void draw_budget(Canvas& canvas, const Rect& room, const ReportData& data);

void draw_picture(Canvas& canvas, Picture picture, const Rect& room, const ReportData& data,
                  const DisplayUnits& units);

[[nodiscard]] std::string_view picture_name(Picture picture);   ///< of its file
[[nodiscard]] std::string_view picture_title(Picture picture);  ///< for people
/// What it shows, in a sentence, for who cannot see it.
[[nodiscard]] std::string picture_description(Picture picture, const ReportData& data,
                                              const DisplayUnits& units);

}  // namespace leeward::daemon
