#include "daemon/live_view/watch_facts.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/live_view/screen_text.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;
using Parts = std::vector<std::string>;
constexpr std::size_t kNameColumns = 10;

std::string line_of_fact(const std::string& name, const Parts& parts, std::size_t width) {
  const std::string head = left_in(name, kNameColumns);
  return head + as_many_as_fit(parts, width > kNameColumns ? width - kNameColumns : 0);
}

Parts pressure_parts(const json& status) {
  const double induced_pa = number_at(status, "induced_pressure_pa");
  const bool is_induced = std::isfinite(induced_pa);
  const double pa = is_induced ? induced_pa : number_at(status, "building_pressure_pa");
  if (!std::isfinite(pa)) return {"not known: the reading is missing"};
  Parts parts{side_text(pa)};
  const double target_pa = number_at(status, "target_pa");
  const double tolerance_pa = number_at(object_at(status, "plan"), "tolerance_pa");
  if (target_pa > 0)
    parts.push_back("wanted " + target_text(target_pa) +
                    (tolerance_pa > 0 ? " within " + target_text(tolerance_pa) : ""));
  parts.push_back(is_induced ? "zero-flow pressure taken off" : "as read");
  return parts;
}

Parts steady_parts(const WatchState& state) {
  const double unrest_pa = number_at(state.status, "unrest_pa");
  if (!std::isfinite(unrest_pa) || state.recent.empty()) return {"not known yet"};
  const auto [low, high] =
      std::minmax_element(state.recent.begin(), state.recent.end(),
                          [](const RecentReading& a, const RecentReading& b) { return a.pa < b.pa; });
  double from_pa = std::abs(low->pa);
  double to_pa = std::abs(high->pa);
  if (low->pa * high->pa <= 0) {
    from_pa = low->pa;
    to_pa = high->pa;
  } else if (from_pa > to_pa) {
    std::swap(from_pa, to_pa);
  }
  return {steadiness_word(unrest_pa), fixed_text(from_pa, 1) + " to " + fixed_text(to_pa, 1) + " Pa",
          "in the last 10 s", "moves by " + pressure_text(unrest_pa)};
}

Parts fan_parts(const json& status) {
  Parts parts;
  const json fans = list_at(status, "fans");
  for (const json& fan : fans) {
    const std::string name = fans.size() > 1 ? text_at(fan, "name") + " " : "";
    parts.push_back(name + (true_at(fan, "enabled") ? percent_text(number_at(fan, "demand_frac")) + " of full"
                                                    : std::string("off")));
    parts.push_back(true_at(fan, "covered") ? "covered" : text_at(fan, "restriction") + " fitted");
    if (const double signal_pa = number_at(fan, "signal_pa"); std::isfinite(signal_pa))
      parts.push_back("signal " + pressure_text(signal_pa));
  }
  return parts;
}

Parts flow_parts(const json& status) {
  double total_m3_s = 0;
  for (const json& fan : list_at(status, "fans")) total_m3_s += number_at(fan, "flow_m3_s");
  if (list_at(status, "fans").empty() || !std::isfinite(total_m3_s)) return {"none to read"};
  return {flow_text(total_m3_s), "as read"};
}

std::string interval_words(const json& estimates, const char* key, const std::string& name, int decimals) {
  const json figure = object_at(estimates, key);
  const auto text = [decimals](double value) {
    return decimals > 0 ? fixed_text(value, decimals) : figure_text(value, "");
  };
  if (!std::isfinite(number_at(figure, "value"))) return {};
  return name + " " + text(number_at(figure, "value")) + (decimals > 0 ? "" : " m3/h") + " (" +
         text(number_at(figure, "low")) + " to " + text(number_at(figure, "high")) + ")";
}

Parts leakage_parts(const json& status) {
  const json estimates = object_at(status, "estimates");
  const std::string q50 = interval_words(estimates, "q50_m3_h", "q50", 0);
  if (q50.empty()) return {"not known yet"};
  return {q50, interval_words(estimates, "n", "n", 2), "95 %"};
}

Parts time_parts(const json& status) {
  const double phase_s = number_at(status, "phase_left_s");
  const double run_s = number_at(status, "run_left_s");
  Parts parts;
  if (phase_s > 0) parts.push_back(seconds_text(phase_s) + " in this part");
  if (run_s > 0) parts.push_back("about " + seconds_text(run_s) + " of the run");
  if (parts.empty()) return {"nothing is being timed"};
  if (run_s > 0) parts.emplace_back("your work not counted");
  return parts;
}
}  // namespace

/// Bounds by feel, those of the page: 1 Pa shows, 3 Pa spoils a low station.
std::string steadiness_word(double unrest_pa) {
  if (!std::isfinite(unrest_pa)) return {};
  if (unrest_pa < 0.5) return "steady";
  if (unrest_pa < 1.5) return "nearly steady";
  return unrest_pa < 3 ? "restless" : "very restless";
}

std::vector<std::string> fact_lines(const WatchState& state, std::size_t width) {
  return {line_of_fact("Pressure", pressure_parts(state.status), width),
          line_of_fact("Time left", time_parts(state.status), width),
          line_of_fact("Steady", steady_parts(state), width),
          line_of_fact("Leakage", leakage_parts(state.status), width),
          line_of_fact("Fan", fan_parts(state.status), width),
          line_of_fact("Flow", flow_parts(state.status), width)};
}

}  // namespace leeward::daemon
