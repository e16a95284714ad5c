#include "daemon/live_view/plan_ahead.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include <nlohmann/json.hpp>

#include "daemon/report/loose_json.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

/// From one station to the next: what a fan needs to get there.
constexpr double kTravel_s = 5;
constexpr double kLeastClimb_pa_s = 0.1;

/// In the order of a run; a phase not named here has no plan ahead.
enum class Place { before, baseline, look_round, stations, closing, none };

Place place_of_phase(const std::string& phase) {
  if (phase == "prepare") return Place::before;
  if (phase == "baseline") return Place::baseline;
  if (phase == "uncover" || phase == "look_round") return Place::look_round;
  if (phase == "climb" || phase == "stations") return Place::stations;
  return phase == "closing_baseline" ? Place::closing : Place::none;
}

double seconds_at(const json& procedure, const char* key) {
  const double s = number_at(procedure, key);
  return std::isfinite(s) && s > 0 ? s : 0;
}

/// What a direction asks for from a place on; durations in to_s, from 0 each.
void add_direction(std::vector<PlannedStep>& out, const json& plan, const json& procedure,
                   const std::string& direction, Place from) {
  const double sign = direction == "pressurize" ? 1 : -1;
  const double look_round_pa = number_at(plan, "look_round_pa");
  const double baseline_s = seconds_at(procedure, "baseline_s");
  if (from <= Place::baseline) out.push_back({0, baseline_s, 0});
  const double station_s =
      kTravel_s + seconds_at(procedure, "station_settle_s") + seconds_at(procedure, "station_average_s");
  bool is_first = true;
  for (const json& station : list_at(plan, "stations")) {
    if (text_at(station, "direction") != direction) continue;
    const double target_pa = number_at(station, "target_pa");
    if (!std::isfinite(target_pa)) continue;
    const double climb_s = target_pa / std::max(kLeastClimb_pa_s, seconds_at(procedure, "climb_rate_pa_s"));
    if (std::exchange(is_first, false) && from <= Place::look_round && std::isfinite(look_round_pa))
      out.push_back({0, seconds_at(procedure, "look_round_min_s") + climb_s, sign * look_round_pa});
    const std::string state = text_at(station, "state");
    if (from <= Place::stations && state != "done" && state != "unreachable")
      out.push_back({0, station_s, sign * target_pa});
  }
  if (from <= Place::closing && true_at(procedure, "baseline_after")) out.push_back({0, baseline_s, 0});
}
}  // namespace

std::vector<PlannedStep> steps_to_come(const json& status, const json& procedure, double now_s) {
  std::vector<PlannedStep> steps;
  const json plan = object_at(status, "plan");
  const double left_s = number_at(status, "run_left_s");
  const Place place = place_of_phase(text_at(status, "phase"));
  if (text_at(status, "run_state") != "running" || !(left_s > 0) || place == Place::none) return steps;
  bool is_ahead = false;
  for (const json& direction : list_at(plan, "directions")) {
    if (!direction.is_string()) continue;
    const bool is_in_hand = direction.get<std::string>() == text_at(status, "direction");
    if (is_in_hand || is_ahead)
      add_direction(steps, plan, procedure, direction.get<std::string>(), is_ahead ? Place::before : place);
    is_ahead = is_ahead || is_in_hand;
  }
  double sum_s = 0;
  for (const PlannedStep& step : steps) sum_s += step.to_s;
  if (!(sum_s > 0)) return {};
  double at_s = now_s;
  for (PlannedStep& step : steps) {
    const double took_s = step.to_s * left_s / sum_s;
    step.from_s = at_s;
    step.to_s = at_s + took_s;
    at_s = step.to_s;
  }
  return steps;
}

}  // namespace leeward::daemon
