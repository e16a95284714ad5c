#include <algorithm>
#include <cmath>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/joint_model.hpp"
#include "control/analysis/signal_drift.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastInduced = 3;           // Pa: less says nothing about the sign
constexpr double kNoSignal = 0.2;             // Pa
constexpr double kFanTurns = 0.1;             // demand above which a fan must make a signal
constexpr double kLeastSignalDrift = 0.4;     // Pa
constexpr double kLeastFlowDrift = 0.01;      // of a station's flow
constexpr double kSignalZeroReadingU = 0.05;  // Pa

void find_swapped_tubes(const DirectionRecord& d, int index, Findings& out) {
  if (!d.before.taken || d.stations.empty()) return;
  double least = -kLeastInduced;
  double sum = 0;
  for (const StationRecord& s : d.stations) {
    const double induced = along(d.direction, s.pressure_mean_pa) - plain_zero_pa(d);
    least = std::max(least, induced);
    sum += induced / static_cast<double>(d.stations.size());
  }
  if (least > -kLeastInduced) return;
  out.push_back({.kind = FindingKind::tubes_swapped,
                 .grade = FindingGrade::certain,
                 .sureness = 1,
                 .direction = index,
                 .station = 0,
                 .from_ns = d.stations[0].begin_ns,
                 .size = sum});
}

bool without_flow(const StationRecord& s) {
  const bool block_without = std::any_of(s.blocks.means.begin(), s.blocks.means.end(),
                                         [](const BlockMean& b) { return !(b.flow_m3_s > 0); });
  return s.demand_mean_frac > kFanTurns && (block_without || s.signal_mean_pa < kNoSignal);
}

void find_lost_signal(const DirectionRecord& d, int index, Findings& out) {
  int count = 0;
  int first = -1;
  for (std::size_t i = 0; i < d.stations.size(); ++i) {
    const StationRecord& s = d.stations[i];
    const double induced = std::abs(along(d.direction, s.pressure_mean_pa) - plain_zero_pa(d));
    if (induced < kLeastInduced || !without_flow(s)) continue;
    if (first < 0) first = static_cast<int>(i);
    ++count;
  }
  if (count == 0) return;
  out.push_back({.kind = FindingKind::signal_lost,
                 .grade = FindingGrade::certain,
                 .sureness = 1,
                 .direction = index,
                 .station = first,
                 .from_ns = d.stations[static_cast<std::size_t>(first)].begin_ns,
                 .size = static_cast<double>(count)});
}

void find_signal_drift(const DirectionRecord& d, int index, Findings& out) {
  if (!d.before.taken || !d.after.taken) return;
  const double drift = d.after.signal_pa - d.before.signal_pa;
  double weakest = 0;
  for (const StationRecord& s : d.stations)
    if (s.signal_mean_pa > 0 && (weakest == 0 || s.signal_mean_pa < weakest)) weakest = s.signal_mean_pa;
  if (!(std::abs(drift) >= kLeastSignalDrift) || !(weakest > 0)) return;
  const double worth = kMeterExponent * std::abs(drift) / weakest;
  if (worth < kLeastFlowDrift) return;
  out.push_back({.kind = FindingKind::signal_drift,
                 .grade = FindingGrade::certain,
                 .sureness = sureness_of(drift / kSignalZeroReadingU),
                 .direction = index,
                 .from_ns = d.before.end_ns,
                 .size = drift,
                 .size_u = kSignalZeroReadingU,
                 .other = worth});
}

}  // namespace

void find_lost_readings(const RunRecord& record, Findings& out) noexcept {
  for (std::size_t i = 0; i < record.directions.size(); ++i) {
    find_swapped_tubes(record.directions[i], static_cast<int>(i), out);
    find_lost_signal(record.directions[i], static_cast<int>(i), out);
    find_signal_drift(record.directions[i], static_cast<int>(i), out);
  }
}

}  // namespace leeward::control
