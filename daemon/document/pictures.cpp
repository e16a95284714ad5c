#include "daemon/document/pictures.hpp"

#include "daemon/document/budget_entries.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

std::string stations_words(const ReportData& data) {
  std::size_t stations = 0;
  for (const auto& d : data.record.directions) stations += d.stations.size();
  return std::to_string(stations) + (stations == 1 ? " pressure station" : " pressure stations");
}

std::string budget_words(const ReportData& data) {
  std::string out;
  for (const BudgetEntry& e : budget_entries(data))
    out += (out.empty() ? "" : ", ") + e.name + " " + fixed_text(e.relative_u * 100, 2) + " %";
  return out + "; all together " + fixed_text(data.result.budget.total * 100, 2) + " %.";
}

}  // namespace

void draw_picture(Canvas& canvas, Picture picture, const Rect& room, const ReportData& data,
                  const DisplayUnits& units) {
  switch (picture) {
    case Picture::pressure:
      return draw_pressure(canvas, room, data);
    case Picture::curve:
      return draw_curve(canvas, room, data, units);
    case Picture::residuals:
      return draw_residuals(canvas, room, data);
    case Picture::budget:
      return draw_budget(canvas, room, data);
  }
}

std::string_view picture_name(Picture picture) {
  switch (picture) {
    case Picture::pressure:
      return "pressure";
    case Picture::curve:
      return "curve";
    case Picture::residuals:
      return "residuals";
    case Picture::budget:
      break;
  }
  return "budget";
}

std::string_view picture_title(Picture picture) {
  switch (picture) {
    case Picture::pressure:
      return "Building pressure over the run";
    case Picture::curve:
      return "Leakage curve";
    case Picture::residuals:
      return "Residuals about the leakage curve";
    case Picture::budget:
      break;
  }
  return "Uncertainty budget";
}

std::string picture_description(Picture picture, const ReportData& data, const DisplayUnits& units) {
  switch (picture) {
    case Picture::pressure:
      return "Indoor minus outdoor pressure over " + seconds_text(data.story.duration_s) + " with " +
             stations_words(data) + ".";
    case Picture::curve:
      return "Flow over induced pressure, both logarithmic: " + stations_words(data) +
             ", fitted curve with " + figure_in(units.flow, data.result.q_ref_m3_s.value) + " at " +
             target_text(data.record.procedure.reference_pressure_pa) + ", and its 95 % band.";
    case Picture::residuals:
      return "Relative distance of each station from the fitted curve, over induced pressure.";
    case Picture::budget:
      break;
  }
  return "Relative standard uncertainties: " + budget_words(data);
}

}  // namespace leeward::daemon
