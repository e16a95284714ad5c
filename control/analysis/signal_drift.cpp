#include "control/analysis/signal_drift.hpp"

#include <cmath>

#include "control/seconds_between.hpp"

namespace leeward::control {
namespace {

constexpr double kLargestDriftShare = 0.1;

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

DirectionRecord without_signal_drift(const DirectionRecord& record) noexcept {
  DirectionRecord out = record;
  if (!record.before.taken || !record.after.taken) return out;
  const std::int64_t epoch_ns = record.before.begin_ns;
  const double from_s = window_middle_s(epoch_ns, record.before.begin_ns, record.before.end_ns);
  const double to_s = window_middle_s(epoch_ns, record.after.begin_ns, record.after.end_ns);
  if (!(to_s > from_s)) return out;
  for (StationRecord& station : out.stations) {
    const double at =
        (window_middle_s(epoch_ns, station.begin_ns, station.end_ns) - from_s) / (to_s - from_s);
    const double drift_pa = record.before.signal_pa + at * (record.after.signal_pa - record.before.signal_pa);
    const double factor = factor_without(drift_pa, station.signal_mean_pa);
    station.flow_mean_m3_s *= factor;
    for (BlockMean& block : station.blocks.means) block.flow_m3_s *= factor;
  }
  return out;
}

}  // namespace leeward::control
