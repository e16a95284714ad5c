#include "daemon/report/procedure_report.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/fit_text.hpp"
#include "daemon/words/json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/verdict_text.hpp"

namespace leeward::daemon {

namespace {

using control::CheckSpec;
using control::ProcedureSpec;

/// From one station to the next, as a fan of middle speed does it.
constexpr double kTravelS = 5;

std::string number_words(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%g", value);
  return text.data();
}

std::string length_words(double least_s, double most_s) {
  if (most_s <= least_s) return seconds_text(least_s);
  return seconds_text(least_s) + " to " + seconds_text(most_s) + ", as long as the wind asks";
}

std::string minutes_words(const TestLength& length) {
  const auto minutes = [](double s) { return std::to_string(std::lround(std::ceil(s / 60))); };
  const std::string least = minutes(length.least_s);
  const std::string most = minutes(length.most_s);
  return (least == most ? least : least + " to " + most) + " min";
}

std::string directions_words(const ProcedureSpec& p) {
  switch (p.directions) {
    case control::DirectionRule::one:
      return "One direction, depressurizing unless the run says otherwise.";
    case control::DirectionRule::both:
      return "Both directions, one after the other; the result is their mean.";
    case control::DirectionRule::one_or_both:
      break;
  }
  return "One direction or both, as the run says; of both the result is their mean.";
}

std::string pressures_words(const ProcedureSpec& p) {
  std::string out;
  for (const double pa : p.stations_pa) out += (out.empty() ? "" : ", ") + number_words(pa);
  return out + " Pa";
}

std::string stations_words(const ProcedureSpec& p) {
  return "Stations at " + pressures_words(p) + ": each within " + pressure_text(p.station_tolerance_pa) +
         " for " + seconds_text(p.station_settle_s) + ", then averaged over " +
         length_words(p.station_average_s, p.station_most_s) +
         (p.keep_speed ? "; the fan keeps its speed meanwhile." : "; the pressure is regulated meanwhile.") +
         " Where a station is out of reach, the highest pressure that was reached is taken.";
}

std::string steps(const ProcedureSpec& p) {
  const std::string zero = length_words(p.baseline_s, p.baseline_most_s);
  std::string out;
  int number = 0;
  const auto add = [&](const std::string& text) {
    out += wrapped(right_in(std::to_string(++number), 2) + ". ", text);
  };
  add("Preparation: a checklist of " + std::to_string(p.checklist.size()) + " items, answered one by one.");
  add("Zero-flow pressure with the fan covered, over " + zero + ".");
  add("The cover comes off; " + pressure_text(p.look_round_pa) +
      " are held until the crew has looked round and answered that all is well.");
  add("A climb of " + figure_text(p.climb_rate_pa_s, "Pa/s") + " to the first station.");
  add(stations_words(p));
  if (p.baseline_after) add("Zero-flow pressure again, fan covered, over " + zero + ".");
  add("Restoring: " + std::to_string(p.restore.size()) + " items, so that nothing stays sealed or off.");
  return out;
}

/// The limits of a check as they are, before anything is measured.
std::string bounds_words(const CheckSpec& check) {
  const std::string unit(check_unit(check.kind));
  const auto word = [&unit](double value) { return number_words(value) + (unit.empty() ? "" : " " + unit); };
  std::string out;
  if (check.has_low) out += "at least " + word(check.low);
  if (check.zero_flow_factor > 0)
    out += std::string(out.empty() ? "" : " and ") + "at least " + figure_text(check.zero_flow_factor, "") +
           " times the zero-flow pressure";
  if (check.has_high) out += std::string(out.empty() ? "" : ", ") + "at most " + word(check.high);
  return out.empty() ? "yes" : out;
}

std::string checks(const ProcedureSpec& p) {
  std::string out;
  for (const CheckSpec& check : p.checks)
    out += wrapped(left_in(name_of(check.severity), 11),
                   std::string(check_title(check.kind)) + ": " + bounds_words(check) + " (" +
                       std::string(check.clause.view()) + "; " + mark_text(check) + ")");
  return out;
}

}  // namespace

TestLength test_length(const ProcedureSpec& p) {
  const double zero_flows = p.baseline_after ? 2 : 1;
  const double stations = static_cast<double>(p.stations_pa.size());
  const double highest = *std::max_element(p.stations_pa.begin(), p.stations_pa.end());
  const double moving =
      p.look_round_min_s + highest / p.climb_rate_pa_s + stations * (kTravelS + p.station_settle_s);
  const double directions = p.directions == control::DirectionRule::both ? 2 : 1;
  const auto whole = [&](double zero_s, double station_s) {
    return directions * (zero_flows * zero_s + moving + stations * station_s);
  };
  return {whole(p.baseline_s, p.station_average_s),
          whole(std::max(p.baseline_s, p.baseline_most_s), std::max(p.station_average_s, p.station_most_s))};
}

std::string procedure_text(const ProcedureSpec& p) {
  const std::string standard = p.standard.empty() ? "" : "Standard: " + std::string(p.standard.view()) + ". ";
  return std::string(p.id.view()) + "\n" + wrapped("", p.title.view()) + "\n" +
         wrapped("", standard + directions_words(p) + " Never above " + pressure_text(p.pressure_max_pa) +
                         ". The result is stated at " + target_text(p.reference_pressure_pa) + ".") +
         "\nWhat is done, in each direction\n" + steps(p) +
         wrapped("", "About " + minutes_words(test_length(p)) +
                         " in all, and what the crew takes for its work.") +
         "\nThe procedure's own fit\n" + wrapped("", standard_fit_text(p)) +
         "\nWhat the test is judged by\n" + checks(p) +
         "invalid: the test does not count; deviation: to be reported; advice: to know\n";
}

nlohmann::json procedure_json(const ProcedureSpec& p) {
  nlohmann::json out = to_json_value(p);
  const TestLength length = test_length(p);
  out["duration_least_s"] = length.least_s;
  out["duration_most_s"] = length.most_s;
  for (std::size_t i = 0; i < p.checks.size(); ++i) {
    const CheckSpec& check = p.checks[i];
    nlohmann::json& entry = out["checks"][i];
    if (!check.has_low) entry["low"] = nullptr;
    if (!check.has_high) entry["high"] = nullptr;
    entry["unit"] = check_unit(check.kind);
    entry["text"] = std::string(check_title(check.kind)) + ": " + bounds_words(check);
    entry["mark_text"] = mark_text(check);
  }
  return out;
}

nlohmann::json procedure_summary_json(const ProcedureSpec& p) {
  return {{"id", p.id.view()}, {"title", p.title.view()}, {"standard", p.standard.view()}};
}

}  // namespace leeward::daemon
