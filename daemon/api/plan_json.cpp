#include "daemon/api/plan_json.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

#include "control/procedure/kept_run.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {
using control::Direction;
using control::DirectionRecord;
using control::EngineState;
using control::StationRecord;

const DirectionRecord* record_of(const EngineState& state, Direction direction) {
  for (const DirectionRecord& record : state.record.directions)
    if (record.direction == direction) return &record;
  return nullptr;
}

const StationRecord* station_of(const DirectionRecord* record, double target_pa) {
  if (record == nullptr) return nullptr;
  for (const StationRecord& station : record->stations)
    if (station.target_pa == target_pa) return &station;
  return nullptr;
}

/// Zero-flow pressure before the part that the station was measured in.
double zero_of(const DirectionRecord& record, const StationRecord& station) {
  if (station.part == 0) return record.before.mean_pa;
  return record.kept[static_cast<std::size_t>(station.part) - 1].before.mean_pa;
}

/// Whether the sequencer has this station in hand.
bool is_in_hand(const EngineState& state, std::size_t direction, std::size_t station) {
  return state.phase == control::Phase::stations &&
         state.sequencer.direction_index == static_cast<std::int32_t>(direction) &&
         state.sequencer.station == static_cast<std::int32_t>(station);
}

nlohmann::json planned_station(const EngineState& state, std::size_t direction, Direction way,
                               std::size_t index) {
  const DirectionRecord* record = record_of(state, way);
  const double target_pa = state.run.procedure.stations_pa[index];
  const StationRecord* done = station_of(record, target_pa);
  nlohmann::json out = {{"station", index + 1},  {"direction", name_of(way)}, {"target_pa", target_pa},
                        {"state", "planned"},    {"induced_pa", nullptr},     {"flow_m3_s", nullptr},
                        {"flow_u_frac", nullptr}};
  if (is_in_hand(state, direction, index)) out["state"] = "running";
  if (done == nullptr) return out;
  out["state"] = done->settled ? "done" : "unreachable";
  out["induced_pa"] = std::abs(done->pressure_mean_pa - zero_of(*record, *done));
  out["flow_m3_s"] = done->flow_mean_m3_s;
  if (done->flow_mean_m3_s > 0) out["flow_u_frac"] = done->flow_mean_se_m3_s / done->flow_mean_m3_s;
  return out;
}
}  // namespace

nlohmann::json plan_json(const EngineState& state) {
  if (state.run_state == control::RunState::none || state.run.procedure.id.empty()) return nullptr;
  const auto directions = control::directions_of(state.run.direction);
  nlohmann::json names = nlohmann::json::array();
  nlohmann::json stations = nlohmann::json::array();
  for (std::size_t d = 0; d < directions.size(); ++d) {
    names.push_back(name_of(directions[d]));
    for (std::size_t i = 0; i < state.run.procedure.stations_pa.size(); ++i)
      stations.push_back(planned_station(state, d, directions[d], i));
  }
  return {{"procedure", std::string(state.run.procedure.id.view())},
          {"title", std::string(state.run.procedure.title.view())},
          {"building", std::string(state.run.building.name.view())},
          {"directions", std::move(names)},
          {"look_round_pa", state.run.procedure.look_round_pa},
          {"tolerance_pa", state.run.procedure.station_tolerance_pa},
          {"stations", std::move(stations)}};
}

}  // namespace leeward::daemon
