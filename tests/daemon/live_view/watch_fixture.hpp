#pragma once
/// A run in the middle of its stations, invented.

#include "daemon/live_view/watch_state.hpp"

namespace leeward::daemon {

inline nlohmann::json station_of_watch(int number, double target_pa, const char* state) {
  return {{"station", number}, {"direction", "depressurize"}, {"target_pa", target_pa}, {"state", state}};
}

inline nlohmann::json watched_status() {
  return {{"phase", "stations"},
          {"sentence", "Measuring at 50.2 Pa below outdoors, station 50 Pa, 12 s to go"},
          {"run_id", "run-1"},
          {"run_state", "running"},
          {"engine_time_s", 100.0},
          {"induced_pressure_pa", -50.2},
          {"building_pressure_pa", -52.0},
          {"unrest_pa", 0.8},
          {"target_pa", 50.0},
          {"direction", "depressurize"},
          {"phase_left_s", 12.0},
          {"run_left_s", 100.0},
          {"plan",
           {{"procedure", "three-steps"},
            {"directions", {"depressurize"}},
            {"look_round_pa", 10.0},
            {"tolerance_pa", 1.0},
            {"stations",
             {station_of_watch(1, 60, "done"), station_of_watch(2, 50, "running"),
              station_of_watch(3, 30, "planned")}}}},
          {"fans",
           {{{"name", "a"},
             {"enabled", true},
             {"demand_frac", 0.62},
             {"signal_pa", 40.0},
             {"flow_m3_s", 0.5},
             {"restriction", "bore-290"},
             {"covered", false}}}},
          {"estimates",
           {{"q50_m3_h", {{"value", 1400.0}, {"low", 1380.0}, {"high", 1420.0}}},
            {"n", {{"value", 0.65}, {"low", 0.6}, {"high", 0.7}}}}},
          {"asks", nlohmann::json::array()},
          {"trip", nullptr},
          {"device", "ok"}};
}

inline nlohmann::json watched_procedure() {
  return {{"id", "three-steps"},    {"baseline_s", 30.0},      {"look_round_min_s", 10.0},
          {"climb_rate_pa_s", 1.0}, {"station_settle_s", 5.0}, {"station_average_s", 20.0},
          {"baseline_after", true}};
}

/// 100 s of it: up to 60 Pa at once, then 50 Pa.
inline WatchState watched_run() {
  WatchState state;
  take_status(state, watched_status());
  state.procedure = watched_procedure();
  state.run_begin_s = 0;
  for (int i = 0; i <= 100; ++i) state.course.add(i, i < 20 ? -1.0 : i < 60 ? -60.0 : -50.2, i < 20 ? 0 : 50);
  state.recent = {{91, -49.5}, {95, -51.0}, {100, -50.2}};
  state.events = {{20, "Phase stations, was climb"}, {60, "At station 2, target 50 Pa"}};
  return state;
}

}  // namespace leeward::daemon
