#include "control/analysis/signal_drift.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "control/seconds_between.hpp"

namespace leeward::control {
namespace {

constexpr double kLargestDriftShare = 0.1;
// What is left once the change between both zero-flow readings is taken off: the noise of their means, and
// what of the drift is not straight in time, a tenth of the change (common practice, no source).
constexpr double kLeastSeenU = 0.005;  // Pa, a twentieth of a usual step of the reading
constexpr double kCrookedShare = 0.1;
constexpr double kLeastUnseenU = 0.02;  // Pa
constexpr double kUnseenDrift = 0.12;   // Pa, of 0.1 Pa in 10 min (common practice, no source)
constexpr double kDriftTime = 600;      // s
// Standard deviation of noise about 0 over that of what is left above it (half normal, textbook); a zero is
// lost from sight where it is further below 0 than the noise.
constexpr double kFarTail = 5;  // beyond, the tail is as good as its begin
constexpr double kNoiseOfSeen = 1.71;

struct Tail {
  double mean = 0;
  double sd = 0;
};

/// Of a normal of standard deviation 1 beyond `from`.
Tail tail(double from) {
  const double density = std::exp(-0.5 * from * from) / std::sqrt(2 * std::numbers::pi);
  const double mean = density / (0.5 * std::erfc(from / std::numbers::sqrt2));
  return {mean, std::sqrt(std::max(0.0, 1 + from * mean - mean * mean))};
}

double window_middle_s(std::int64_t epoch_ns, std::int64_t begin_ns, std::int64_t end_ns) {
  return 0.5 * (seconds_between(epoch_ns, begin_ns) + seconds_between(epoch_ns, end_ns));
}

double zero_mean_u_pa(const BaselineRecord& zero) {
  return zero.samples > 0 ? zero.signal_sd_pa / std::sqrt(static_cast<double>(zero.samples)) : 0;
}

double seen_drift_u_pa(const BaselineRecord& before, const BaselineRecord& after) {
  const double noise_pa = 0.5 * std::hypot(zero_mean_u_pa(before), zero_mean_u_pa(after));  // midway
  return std::hypot(kLeastSeenU, noise_pa, kCrookedShare * (after.signal_pa - before.signal_pa));
}

/// Factor on the flow where `drift_pa` has to come off its signal.
double factor_without(double drift_pa, double signal_pa) {
  const double share = drift_pa / signal_pa;
  if (!(signal_pa > 0) || !(std::abs(share) < kLargestDriftShare)) return 1;
  return std::pow(1 - share, kMeterExponent);
}

SignalDrift drift_of_last_part(const DirectionRecord& record) {
  const BaselineRecord& before = record.before;
  const BaselineRecord& after = record.after;
  if (!before.taken || !before.signal_known || !after.taken) return {0, kUnseenDrift};
  if (after.signal_known) return {after.signal_pa - before.signal_pa, seen_drift_u_pa(before, after)};
  // It has drifted at least out of sight; how much further is what a gauge's drift makes likely.
  const double passed_s = seconds_between(before.begin_ns, after.end_ns);
  const double drift_pa = std::max(kLeastUnseenU, kUnseenDrift * passed_s / kDriftTime);
  const double least_pa = std::max(0.0, before.signal_pa + kNoiseOfSeen * before.signal_sd_pa);
  const double from = std::min(kFarTail, least_pa / drift_pa);
  const Tail beyond = tail(from);
  return {-std::max(least_pa, drift_pa * beyond.mean), std::max(kLeastUnseenU, drift_pa * beyond.sd)};
}

}  // namespace

SignalDrift signal_drift(const DirectionRecord& record) noexcept {
  SignalDrift drift = drift_of_last_part(record);
  // What a kept part drifted by until it broke off, nobody has seen.
  if (!record.kept.empty()) drift.u_pa = std::max(drift.u_pa, kUnseenDrift);
  return drift;
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
    if (station.part > 0) continue;
    const double at =
        (window_middle_s(epoch_ns, station.begin_ns, station.end_ns) - from_s) / (to_s - from_s);
    const double factor = factor_without(at * drift_pa, station.signal_mean_pa);
    station.flow_mean_m3_s *= factor;
    for (BlockMean& block : station.blocks.means) block.flow_m3_s *= factor;
  }
  return out;
}

}  // namespace leeward::control
