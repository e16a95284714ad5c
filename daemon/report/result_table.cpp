#include "daemon/report/result_table.hpp"

#include <cmath>

#include "daemon/report/checks_table.hpp"
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

std::string line_of(const std::string& text) { return text.empty() ? text : text + "\n"; }

/// The weather that the corrections took, as far as it is known.
std::string conditions(const json& result) {
  const json given = object_at(result, "conditions");
  std::string out;
  const auto add = [&](const char* key, const char* before, int decimals, const char* after) {
    const double value = number_at(given, key);
    if (std::isfinite(value))
      out += (out.empty() ? "" : ", ") + (before + fixed_text(value, decimals)) + after;
  };
  add("indoor_c", "indoors ", 1, " C");
  add("outdoor_c", "outdoors ", 1, " C");
  add("barometric_pa", "barometer ", 0, " Pa");
  add("altitude_m", "altitude ", 0, " m");
  add("wind_m_s", "wind ", 1, " m/s");
  return line_of(out);
}

std::string head(const json& result) {
  const std::string state = text_at(result, "state");
  const std::string validity = true_at(result, "valid") ? ", valid" : state == "invalid" ? "" : ", not valid";
  std::string out =
      text_at(result, "procedure") + ", " + text_at(result, "run_id") + ", " + state + validity + "\n";
  if (result.find("building") != result.end()) out += text_at(object_at(result, "building"), "name") + "\n";
  return out + conditions(result);
}

struct Headline {
  const char* symbol;
  const char* key;
  const char* unit;
  const char* meaning;
};

constexpr Headline kHeadlines[] = {
    {"q50", "q50_m3_h", "m3/h", "flow through the envelope at 50 Pa"},
    {"n50", "n50_per_h", "1/h", "air changes an hour at 50 Pa"},
    {"qE50", "qe50_m3_h_m2", "m3/(h m2)", "q50 per envelope area"},
    {"qF50", "qf50_m3_h_m2", "m3/(h m2)", "q50 per floor area"},
    {"C", "c_m3_h_pan", "m3/(h Pa^n)", "flow coefficient"},
    {"n", "n", "", "flow exponent, 0.5 to 1"},
    {"ELA4", "ela4_cm2", "cm2", "leakage area at 4 Pa"},
    {"EqLA10", "eqla10_cm2", "cm2", "leakage area at 10 Pa, sharp hole"},
};

std::string headline(const json& result, const Headline& h) {
  const std::string key = h.key;
  const double value = number_at(result, key);
  if (!std::isfinite(value)) return {};
  const double low = number_at(result, key + "_low");
  const double high = number_at(result, key + "_high");
  const bool interval = std::isfinite(low) && std::isfinite(high);
  const std::string range =
      interval ? figure_text(low, "") + " to " + figure_text(high, "") : std::string("no interval");
  const bool is_assumed = key == "n" && true_at(result, "exponent_assumed");
  return left_in(h.symbol, 7) + left_in(figure_text(value, h.unit), 20) + left_in(range, 18) +
         (is_assumed ? "exponent: assumed, not measured" : h.meaning) + "\n";
}

std::string headlines(const json& result) {
  std::string out;
  for (const Headline& h : kHeadlines) out += headline(result, h);
  if (out.empty()) return "\nNo figures: there were not enough stations.\n";
  const double r2 = number_at(result, "r2");
  if (std::isfinite(r2)) out += left_in("r2", 7) + fixed_text(r2, 5) + "\n";
  return "\nOur estimate, standard air, with its 95 % interval\n" + out +
         line_of(text_at(result, "estimate_text"));
}

std::string standard(const json& result) {
  const json fit = object_at(result, "standard");
  if (!std::isfinite(number_at(fit, "q50_m3_h"))) return {};
  const std::string assumed = true_at(fit, "exponent_assumed") ? " (assumed)" : "";
  return "\n" +
         wrapped("", "By the procedure's own fit: q50 " + figure_text(number_at(fit, "q50_m3_h"), "m3/h") +
                         ", n " + figure_text(number_at(fit, "n"), "") + assumed) +
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

std::string station_line(const json& s) {
  std::string note;
  if (!true_at(s, "settled")) note += " not settled";
  if (!true_at(s, "signal_in_range")) note += std::string(note.empty() ? "" : ",") + " signal out of range";
  return station_row(text_at(s, "restriction"), cell(number_at(s, "target_pa"), 0),
                     cell(number_at(s, "induced_pa"), 1), cell(number_at(s, "flow_read_m3_h"), 1),
                     cell(number_at(s, "flow_m3_h"), 1), cell(number_at(s, "signal_pa"), 1),
                     cell(number_at(s, "demand_frac") * 100, 0),
                     cell(number_at(s, "residual_frac") * 100, 2)) +
         (note.empty() ? "" : "       " + note + "\n");
}

std::string stations(const json& result) {
  const json list = list_at(result, "stations");
  if (list.empty()) return {};
  std::string out =
      "\nStations: flow as read at the fan, then corrected for the air through the leaks;\n"
      "both zero-flow pressures are taken off the induced pressure\n" +
      station_row("restriction", "target", "induced", "as read", "corrected", "signal", "demand",
                  "residual") +
      station_row("", "Pa", "Pa", "m3/h", "m3/h", "Pa", "%", "%");
  std::string direction;
  for (const json& station : list) {
    if (const std::string now = text_at(station, "direction"); now != direction) out += now + "\n";
    direction = text_at(station, "direction");
    out += station_line(station);
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

std::string cautions(const json& result) {
  const json list = list_at(result, "cautions");
  if (list.empty()) return {};
  std::string out = "\nTo know\n";
  for (const json& caution : list)
    if (caution.is_string()) out += wrapped("- ", caution.get_ref<const std::string&>());
  return out;
}

}  // namespace

std::string result_table(const json& result) {
  if (!result.is_object()) return "No result.\n";
  return head(result) + headlines(result) + standard(result) + stations(result) + baselines(result) +
         checks_table(result) + cautions(result);
}

}  // namespace leeward::daemon
