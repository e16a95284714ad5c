#include "control/analysis/zero_flow.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {

namespace {

double mean_variance_pa2(const BaselineRecord& baseline) {
  return baseline.mean_se_pa * baseline.mean_se_pa + kPressureResolutionPa * kPressureResolutionPa;
}

double sign_mean_pa(const BaselineRecord& baseline) {
  if (!baseline.taken) return 0;
  return std::max(std::abs(baseline.positive_mean_pa), std::abs(baseline.negative_mean_pa));
}

}  // namespace

ZeroFlow zero_flow(const BaselineRecord& before, const BaselineRecord& after) noexcept {
  if (!before.taken && !after.taken) return {};
  if (!before.taken || !after.taken) {
    const BaselineRecord& only = before.taken ? before : after;
    return {true, only.mean_pa, std::sqrt(mean_variance_pa2(only))};
  }
  const double noise_pa2 = mean_variance_pa2(before) + mean_variance_pa2(after);
  const double difference_pa = after.mean_pa - before.mean_pa;
  const double drift_pa2 = std::max(0.0, difference_pa * difference_pa - noise_pa2) / 12;
  return {true, 0.5 * (before.mean_pa + after.mean_pa), std::sqrt(noise_pa2 / 4 + drift_pa2)};
}

double largest_sign_mean_pa(const DirectionRecord& direction) noexcept {
  double largest_pa = std::max(sign_mean_pa(direction.before), sign_mean_pa(direction.after));
  for (const KeptPart& part : direction.kept) largest_pa = std::max(largest_pa, sign_mean_pa(part.before));
  return largest_pa;
}

}  // namespace leeward::control
