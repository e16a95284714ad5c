#include "daemon/report/result_table.hpp"

#include <cmath>

#include "daemon/report/checks_table.hpp"
#include "daemon/report/conditions_text.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

using nlohmann::json;

/// "-" in a column where nothing is known.
std::string cell(double value, int decimals) {
  return std::isfinite(value) ? fixed_text(value, decimals) : std::string("-");
}

/// No more digits than were asked for.
std::string target_cell(double pa) { return cell(pa, pa == std::round(pa) ? 0 : 1); }

std::string line_of(const std::string& text) { return text.empty() ? text : text + "\n"; }

std::string head(const json& result, Units units) {
  const std::string state = text_at(result, "state");
  const std::string validity = true_at(result, "valid") ? ", valid" : state == "invalid" ? "" : ", not valid";
  std::string out =
      text_at(result, "procedure") + ", " + text_at(result, "run_id") + ", " + state + validity + "\n";
  out += line_of(text_at(object_at(result, "building"), "name"));
  const json given = object_at(result, "conditions");
  return out + line_of(conditions_text(given, units)) + line_of(not_stated_text(given));
}

struct Headline {
  const char* symbol;
  const char* key;
  Quantity quantity;
  const char* meaning;
};

constexpr Headline kHeadlines[] = {
    {"q50", "q50_m3_h", Quantity::flow, "flow through the envelope at 50 Pa"},
    {"n50", "n50_per_h", Quantity::per_hour, "air changes an hour at 50 Pa"},
    {"qE50", "qe50_m3_h_m2", Quantity::flow_per_area, "q50 per envelope area"},
    {"qF50", "qf50_m3_h_m2", Quantity::flow_per_area, "q50 per floor area"},
    {"C", "c_m3_h_pan", Quantity::coefficient, "flow coefficient"},
    {"n", "n", Quantity::plain, "flow exponent, 0.5 to 1"},
    {"ELA4", "ela4_cm2", Quantity::area, "leakage area at 4 Pa"},
    {"EqLA10", "eqla10_cm2", Quantity::area, "leakage area at 10 Pa, sharp hole"},
};

/// For those who need them; the headlines stay short.
constexpr Headline kMoreFigures[] = {
    {"q4", "q4_m3_h", Quantity::flow, "flow at 4 Pa"},
    {"q10", "q10_m3_h", Quantity::flow, "flow at 10 Pa"},
    {"q75", "q75_m3_h", Quantity::flow, "flow at 75 Pa"},
    {"ELA10", "ela10_cm2", Quantity::area, "leakage area at 10 Pa"},
    {"SLA", "specific_leakage_cm2_m2", Quantity::area_per_area, "ELA4 per floor area"},
    {"NL", "nl_03", Quantity::plain, "normalized leakage, (height/2.5 m)^0.3"},
    {"NL0.4", "nl_04", Quantity::plain, "the same with the exponent 0.4"},
    {"NLA", "nla_cm2_m2", Quantity::area_per_area, "EqLA10 per envelope area"},
};

std::string headline(const json& result, const Headline& h, Units units) {
  const std::string key = h.key;
  const FaceUnit shown = face_unit(h.quantity, units);
  const double value = shown.factor * number_at(result, key);
  if (!std::isfinite(value)) return {};
  const double low = shown.factor * number_at(result, key + "_low");
  const double high = shown.factor * number_at(result, key + "_high");
  const bool interval = std::isfinite(low) && std::isfinite(high);
  const std::string range =
      interval ? figure_text(low, "") + " to " + figure_text(high, "") : std::string("no interval");
  const bool is_assumed = key == "n" && true_at(result, "exponent_assumed");
  return left_in(h.symbol, 7) + left_in(figure_text(value, shown.unit), 20) + left_in(range, 18) +
         (is_assumed ? "exponent: assumed, not measured" : h.meaning) + "\n";
}

std::string headlines(const json& result, Units units) {
  std::string out;
  for (const Headline& h : kHeadlines) out += headline(result, h, units);
  if (out.empty()) return "\nNo figures: there were not enough stations.\n";
  const double r2 = number_at(result, "r2");
  if (std::isfinite(r2)) out += left_in("r2", 7) + fixed_text(r2, 5) + "\n";
  return "\nOur estimate, standard air, with its 95 % interval\n" + out +
         line_of(text_at(result, "estimate_text"));
}

std::string more_figures(const json& result, Units units) {
  std::string out;
  for (const Headline& h : kMoreFigures) out += headline(result, h, units);
  return out.empty() ? out : "\nMore figures\n" + out;
}

std::string targets(const json& result) {
  const json list = list_at(result, "targets");
  if (list.empty()) return {};
  std::string out = "\nTargets\n";
  for (const json& target : list) {
    const bool judged = target.is_object() && target.contains("passed") && target["passed"].is_boolean();
    out += wrapped(left_in(!judged                     ? "-"
                           : true_at(target, "passed") ? "passed"
                                                       : "failed",
                           10),
                   text_at(target, "text"));
  }
  return out;
}

std::string standard(const json& result, Units units) {
  const json fit = object_at(result, "standard");
  if (!std::isfinite(number_at(fit, "q50_m3_h"))) return {};
  const std::string assumed = true_at(fit, "exponent_assumed") ? " (assumed)" : "";
  const FaceUnit flow = face_unit(Quantity::flow, units);
  return "\n" +
         wrapped("", "By the procedure's own fit: q50 " +
                         figure_text(flow.factor * number_at(fit, "q50_m3_h"), flow.unit) + ", n " +
                         figure_text(number_at(fit, "n"), "") + assumed) +
         line_of(text_at(fit, "text"));
}

/// Columns of the stations, right-aligned.
constexpr std::size_t kStationWidths[] = {8, 9, 9, 11, 8, 8, 10};

template <class... Cells>
std::string station_row(std::string_view restriction, const Cells&... cells) {
  std::string row;
  std::size_t i = 0;
  ((row += right_in(cells, kStationWidths[i++])), ...);
  return row + (restriction.empty() ? "" : "  " + std::string(restriction)) + "\n";
}

std::string station_line(const json& s, Units units) {
  const FaceUnit flow = face_unit(Quantity::flow, units);
  const int decimals = units == Units::si ? 4 : 1;
  std::string note;
  if (!true_at(s, "settled")) note += " not settled";
  if (!true_at(s, "signal_in_range")) note += std::string(note.empty() ? "" : ",") + " signal out of range";
  return station_row(text_at(s, "restriction"), target_cell(number_at(s, "target_pa")),
                     cell(number_at(s, "induced_pa"), 1),
                     cell(flow.factor * number_at(s, "flow_read_m3_h"), decimals),
                     cell(flow.factor * number_at(s, "flow_m3_h"), decimals),
                     cell(number_at(s, "signal_pa"), 1), cell(number_at(s, "demand_frac") * 100, 0),
                     cell(number_at(s, "residual_frac") * 100, 2)) +
         (note.empty() ? "" : "       " + note + "\n");
}

std::string stations(const json& result, Units units) {
  const json list = list_at(result, "stations");
  if (list.empty()) return {};
  const std::string unit = face_unit(Quantity::flow, units).unit;
  std::string out =
      "\nStations: flow as read at the fan, then corrected for the air through the leaks;\n"
      "both zero-flow pressures are taken off the induced pressure\n" +
      station_row("restriction", "target", "induced", "as read", "corrected", "signal", "demand",
                  "residual") +
      station_row("", "Pa", "Pa", unit, unit, "Pa", "%", "%");
  std::string direction;
  for (const json& station : list) {
    if (const std::string now = text_at(station, "direction"); now != direction) out += now + "\n";
    direction = text_at(station, "direction");
    out += station_line(station, units);
  }
  return out;
}

std::string baselines(const json& result) {
  const json list = list_at(result, "baselines");
  if (list.empty()) return {};
  std::string out = "\nZero-flow pressure\n";
  for (const json& b : list) {
    out += left_in(text_at(b, "direction") + ", " + text_at(b, "when"), 24) +
           right_in(cell(number_at(b, "mean_pa"), 2) + " Pa", 10) + "  standard error " +
           cell(number_at(b, "se_pa"), 2) + " Pa, " + cell(number_at(b, "duration_s"), 0) + " s\n";
  }
  return out;
}

/// What the readings themselves say went wrong.
std::string diagnosis(const json& result) {
  const json list = list_at(result, "diagnosis");
  if (list.empty()) return {};
  std::string out = "\nWhat the readings show\n";
  for (const json& finding : list) {
    if (!finding.is_object()) continue;
    out += wrapped("- ", text_at(finding, "title") + ", " + text_at(finding, "sureness_text") + ". " +
                             text_at(finding, "text"));
    out += wrapped("  ", text_at(finding, "advice"));
  }
  return out;
}

std::string cautions(const json& result) {
  const json list = list_at(result, "cautions");
  if (list.empty()) return {};
  std::string out = "\nTo know\n";
  for (const json& caution : list)
    if (caution.is_string()) out += wrapped("- ", caution.get_ref<const std::string&>());
  return out;
}

}  // namespace

std::string result_table(const json& result, Units units) {
  if (!result.is_object()) return "No result.\n";
  return head(result, units) + headlines(result, units) + targets(result) + standard(result, units) +
         more_figures(result, units) + stations(result, units) + baselines(result) + checks_table(result) +
         diagnosis(result) + cautions(result);
}

}  // namespace leeward::daemon
