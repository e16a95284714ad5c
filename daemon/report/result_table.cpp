#include "daemon/report/result_table.hpp"

#include <cmath>
#include <limits>

#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

using nlohmann::json;

std::string text_at(const json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_string() ? it->get<std::string>() : std::string();
}

double number_at(const json& object, const std::string& key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_number() ? it->get<double>() : std::numeric_limits<double>::quiet_NaN();
}

bool true_at(const json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_boolean() && it->get<bool>();
}

json list_at(const json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_array() ? *it : json::array();
}

/// "-" in a column where nothing is known.
std::string cell(double value, int decimals) {
  return std::isfinite(value) ? fixed_text(value, decimals) : std::string("-");
}

std::string head(const json& result) {
  std::string out = text_at(result, "procedure") + ", " + text_at(result, "run_id") + ", " +
                    text_at(result, "state") + (true_at(result, "valid") ? ", valid" : ", not valid") + "\n";
  const auto building = result.find("building");
  if (building != result.end() && building->is_object()) out += text_at(*building, "name") + "\n";
  return out;
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
  return left_in(h.symbol, 7) + left_in(figure_text(value, h.unit), 20) + left_in(range, 18) + h.meaning +
         "\n";
}

std::string headlines(const json& result) {
  std::string out;
  for (const Headline& h : kHeadlines) out += headline(result, h);
  if (out.empty()) return "\nNo figures: there were not enough stations.\n";
  const double r2 = number_at(result, "r2");
  if (std::isfinite(r2)) out += left_in("r2", 7) + fixed_text(r2, 5) + "\n";
  return "\nOur estimate, standard air, with its 95 % interval\n" + out;
}

std::string standard(const json& result) {
  const auto fit = result.find("standard");
  if (fit == result.end() || !fit->is_object() || !std::isfinite(number_at(*fit, "q50_m3_h"))) return {};
  return "\n" +
         wrapped("", "By the procedure's own fit: q50 " + figure_text(number_at(*fit, "q50_m3_h"), "m3/h") +
                         ", n " + figure_text(number_at(*fit, "n"), "") + ".");
}

std::string station_line(const json& s) {
  std::string note;
  if (!true_at(s, "settled")) note += " not settled";
  if (!true_at(s, "signal_in_range")) note += std::string(note.empty() ? "" : ",") + " signal out of range";
  return left_in(text_at(s, "direction"), 13) + right_in(cell(number_at(s, "target_pa"), 0), 6) +
         right_in(cell(number_at(s, "induced_pa"), 1), 9) + right_in(cell(number_at(s, "flow_m3_h"), 1), 9) +
         right_in(cell(number_at(s, "signal_pa"), 1), 8) +
         right_in(cell(number_at(s, "demand_frac") * 100, 0), 8) +
         right_in(cell(number_at(s, "residual_frac") * 100, 2), 10) + "  " + text_at(s, "restriction") +
         "\n" + (note.empty() ? "" : "             " + note + "\n");
}

std::string stations(const json& result) {
  const json list = list_at(result, "stations");
  if (list.empty()) return {};
  std::string out = "\nStations\n" + left_in("", 13) + right_in("target", 6) + right_in("induced", 9) +
                    right_in("flow", 9) + right_in("signal", 8) + right_in("demand", 8) +
                    right_in("residual", 10) + "  restriction\n" + left_in("", 13) + right_in("Pa", 6) +
                    right_in("Pa", 9) + right_in("m3/h", 9) + right_in("Pa", 8) + right_in("%", 8) +
                    right_in("%", 10) + "\n";
  for (const json& station : list) out += station_line(station);
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

std::string verdicts(const json& result) {
  const json list = list_at(result, "verdicts");
  if (list.empty()) return {};
  std::string out = "\nChecks\n";
  for (const json& v : list) {
    const std::string outcome = text_at(v, "outcome");
    const std::string word = outcome == "failed"   ? text_at(v, "severity")
                             : outcome == "passed" ? "passed"
                                                   : "-";
    const std::string direction = text_at(v, "direction");
    out += wrapped(left_in(word, 11), text_at(v, "text") + (direction.empty() ? "" : " [" + direction + "]"));
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
         verdicts(result) + cautions(result);
}

}  // namespace leeward::daemon
