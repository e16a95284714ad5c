#include "control/procedure/kept_run.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

constexpr double kLongestAge =
    30 * 86400.0;  // s: the rule of the rig is stricter; this keeps stamps in range
constexpr std::int64_t kLastStamp = std::int64_t{1} << 62U;

void shift(BaselineRecord& reading, std::int64_t by_ns) {
  if (!reading.taken) return;
  reading.begin_ns += by_ns;
  reading.end_ns += by_ns;
}

void shift(DirectionRecord& direction, std::int64_t by_ns) {
  shift(direction.before, by_ns);
  shift(direction.after, by_ns);
  for (KeptPart& part : direction.kept) shift(part.before, by_ns);
  for (StationRecord& station : direction.stations) {
    station.begin_ns += by_ns;
    station.end_ns += by_ns;
  }
}

bool has_own_stations(const DirectionRecord& direction) {
  return std::any_of(direction.stations.begin(), direction.stations.end(),
                     [](const StationRecord& station) { return station.part == 0; });
}

/// Puts the stations of the part that broke off behind their own reading, so that a new one can be taken.
void close_part(DirectionRecord& direction, const ConditionsSpec& conditions) {
  if (has_own_stations(direction) && direction.kept.push_back({direction.before, conditions})) {
    const int part = static_cast<int>(direction.kept.size());
    for (StationRecord& station : direction.stations)
      if (station.part == 0) station.part = part;
  }
  direction.before = BaselineRecord{};
  direction.after = BaselineRecord{};
}

bool stamps_in_range(std::int64_t begin_ns, std::int64_t end_ns, std::int64_t last_ns) {
  const auto longest_ns = static_cast<std::int64_t>(kLongestAge * 1e9);
  return begin_ns <= end_ns && end_ns <= last_ns && begin_ns >= last_ns - longest_ns;
}

bool is_usable(const BaselineRecord& reading, std::int64_t last_ns) {
  return reading.taken && std::isfinite(reading.mean_pa) &&
         stamps_in_range(reading.begin_ns, reading.end_ns, last_ns);
}

bool is_usable(const StationRecord& station, const DirectionRecord& direction, std::int64_t last_ns) {
  const auto part = static_cast<std::size_t>(std::max(0, station.part));
  const bool has_reading = part == 0 ? direction.before.taken : part <= direction.kept.size();
  return station.part >= 0 && has_reading && std::isfinite(station.pressure_mean_pa) &&
         std::isfinite(station.flow_mean_m3_s) && station.restriction >= 0 &&
         station.restriction < static_cast<int>(kMaxRestrictions) &&
         stamps_in_range(station.begin_ns, station.end_ns, last_ns);
}

bool is_usable(const DirectionRecord& direction, std::int64_t last_ns) {
  if (direction.stations.empty()) return false;
  if (direction.before.taken && !is_usable(direction.before, last_ns)) return false;
  if (direction.after.taken && !is_usable(direction.after, last_ns)) return false;
  for (const KeptPart& part : direction.kept)
    if (!is_usable(part.before, last_ns)) return false;
  return std::all_of(direction.stations.begin(), direction.stations.end(),
                     [&](const StationRecord& station) { return is_usable(station, direction, last_ns); });
}

}  // namespace

std::size_t next_station_of(const ProcedureSpec& procedure, const DirectionRecord& direction) noexcept {
  std::size_t next = 0;
  for (const StationRecord& station : direction.stations) {
    std::size_t i = next;
    while (i < procedure.stations_pa.size() && procedure.stations_pa[i] != station.target_pa) ++i;
    if (i < procedure.stations_pa.size()) next = i + 1;
  }
  return next;
}

DirectionLeft left_of(const ProcedureSpec& procedure, const DirectionRecord& direction,
                      bool is_last) noexcept {
  if (!is_last || direction.after.taken) return DirectionLeft::nothing;
  if (next_station_of(procedure, direction) < procedure.stations_pa.size()) return DirectionLeft::stations;
  return procedure.baseline_after ? DirectionLeft::closing : DirectionLeft::nothing;
}

FixedVector<Direction, 2> directions_of(DirectionChoice choice) noexcept {
  FixedVector<Direction, 2> out;
  if (choice != DirectionChoice::pressurize) out.push_back(Direction::depressurize);
  if (choice != DirectionChoice::depressurize) out.push_back(Direction::pressurize);
  return out;
}

Refusal kept_refusal(const RunSpec& run, const KeptRun& kept) noexcept {
  if (!std::isfinite(kept.from.age_s)) return Refusal::not_finite;
  if (kept.from.age_s < 0 || kept.from.age_s > kLongestAge) return Refusal::out_of_range;
  if (kept.end_ns < 0 || kept.end_ns > kLastStamp) return Refusal::out_of_range;
  const FixedVector<Direction, 2> wanted = directions_of(run.direction);
  if (kept.directions.empty() || kept.directions.size() > wanted.size()) return Refusal::cannot_take_up;
  for (std::size_t i = 0; i < kept.directions.size(); ++i) {
    const DirectionRecord& direction = kept.directions[i];
    const bool is_last = i + 1 == kept.directions.size();
    const DirectionLeft left = left_of(run.procedure, direction, is_last);
    if (direction.direction != wanted[i] || !is_usable(direction, kept.end_ns))
      return Refusal::cannot_take_up;
    if (left == DirectionLeft::nothing && is_last && kept.directions.size() == wanted.size())
      return Refusal::cannot_take_up;
    if (left == DirectionLeft::closing && !has_own_stations(direction)) return Refusal::cannot_take_up;
    if (left == DirectionLeft::stations && direction.kept.full() && has_own_stations(direction))
      return Refusal::cannot_take_up;
  }
  return Refusal::accepted;
}

FixedVector<DirectionRecord, 2> taken_up(const RunSpec& run, const KeptRun& kept,
                                         std::int64_t now_ns) noexcept {
  const std::int64_t by_ns = now_ns - std::llround(kept.from.age_s * 1e9) - kept.end_ns;
  FixedVector<DirectionRecord, 2> out = kept.directions;
  for (std::size_t i = 0; i < out.size(); ++i) {
    DirectionRecord& direction = out[i];
    shift(direction, by_ns);
    if (left_of(run.procedure, direction, i + 1 == out.size()) == DirectionLeft::stations) {
      close_part(direction, kept.conditions);
    } else if (!direction.kept_whole) {
      direction.kept_whole = true;
      direction.conditions = kept.conditions;
    }
  }
  return out;
}

int kept_stations(const RunRecord& record) noexcept {
  int count = 0;
  for (const DirectionRecord& direction : record.directions)
    for (const StationRecord& station : direction.stations)
      if (direction.kept_whole || station.part > 0) ++count;
  return count;
}

}  // namespace leeward::control
