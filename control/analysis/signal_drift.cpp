#include "control/analysis/signal_drift.hpp"

#include <algorithm>
#include <cmath>

#include "control/seconds_between.hpp"

namespace leeward::control {
namespace {

constexpr double kLargestDriftShare = 0.1;
constexpr double kSeenDriftU = 0.03;   // Pa, of noise and of what is not straight in time
constexpr double kUnseenDrift = 0.12;  // Pa, of 0.1 Pa in 10 min (common practice, no source)
// A zero below the gauge's floor, in standard deviations of its cut-off noise: how far, and how far about
// that.
constexpr double kSunkTo = 3;
constexpr double kSunkU = 2;

double window_middle_s(std::int64_t epoch_ns, std::int64_t begin_ns, std::int64_t end_ns) {
  return 0.5 * (seconds_between(epoch_ns, begin_ns) + seconds_between(epoch_ns, end_ns));
}

/// Factor on the flow where `drift_pa` has to come off its signal.
double factor_without(double drift_pa, double signal_pa) {
  const double share = drift_pa / signal_pa;
  if (!(signal_pa > 0) || !(std::abs(share) < kLargestDriftShare)) return 1;
  return std::pow(1 - share, kMeterExponent);
}

}  // namespace

SignalDrift signal_drift(const DirectionRecord& record) noexcept {
  const BaselineRecord& before = record.before;
  const BaselineRecord& after = record.after;
  if (!before.taken || !before.signal_known || !after.taken) return {0, kUnseenDrift};
  if (after.signal_known) return {after.signal_pa - before.signal_pa, kSeenDriftU};
  const double sunk_to_pa = std::min(before.signal_pa, -kSunkTo * before.signal_sd_pa);
  return {sunk_to_pa - before.signal_pa, std::max(kSeenDriftU, kSunkU * before.signal_sd_pa)};
}

DirectionRecord without_signal_drift(const DirectionRecord& record) noexcept {
  DirectionRecord out = record;
  if (!record.before.taken || !record.after.taken) return out;
  if (!record.before.signal_known) return out;
  const double drift_pa = signal_drift(record).change_pa;
  const std::int64_t epoch_ns = record.before.begin_ns;
  const double from_s = window_middle_s(epoch_ns, record.before.begin_ns, record.before.end_ns);
  const double to_s = window_middle_s(epoch_ns, record.after.begin_ns, record.after.end_ns);
  if (!(to_s > from_s)) return out;
  for (StationRecord& station : out.stations) {
    const double at =
        (window_middle_s(epoch_ns, station.begin_ns, station.end_ns) - from_s) / (to_s - from_s);
    const double factor = factor_without(at * drift_pa, station.signal_mean_pa);
    station.flow_mean_m3_s *= factor;
    for (BlockMean& block : station.blocks.means) block.flow_m3_s *= factor;
  }
  return out;
}

}  // namespace leeward::control
