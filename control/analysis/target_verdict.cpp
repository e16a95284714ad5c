#include "control/analysis/target_verdict.hpp"

#include <cmath>

#include "control/analysis/customary_units.hpp"

namespace leeward::control {

namespace {

/// The metric's unit in terms of the target's.
double in_unit(TargetUnit unit) {
  constexpr double l_s_per_m3_h = 1 / 3.6;
  if (unit == TargetUnit::cfm_ft2) return 1 / kM3PerHM2PerCfmPerFt2;
  return unit == TargetUnit::l_s_m2 ? l_s_per_m3_h : 1;
}

double factor_of(const TargetSpec& target, const TargetFigure& figure, Decision decision) {
  if (figure.exponent_assumed) return target.one_point_factor;
  const double half_width_frac = figure.high / figure.value - 1;
  const bool adds = decision == Decision::simple && target.add_uncertainty_above_frac > 0 &&
                    half_width_frac > target.add_uncertainty_above_frac;
  return adds ? 1 + half_width_frac : 1;
}

}  // namespace

bool unit_fits(TargetMetric metric, TargetUnit unit) noexcept {
  if (metric == TargetMetric::n50) return unit == TargetUnit::per_h;
  if (metric == TargetMetric::normalized_area) return unit == TargetUnit::cm2_m2;
  return unit == TargetUnit::m3_h_m2 || unit == TargetUnit::cfm_ft2 || unit == TargetUnit::l_s_m2;
}

TargetVerdict judge_target(const TargetSpec& target, const TargetFigure& figure, Decision decision) noexcept {
  const double bound = decision == Decision::guarded ? figure.upper : figure.value;
  if (!figure.known || !std::isfinite(figure.value) || !std::isfinite(bound)) return {};
  const double unit = in_unit(target.unit);
  TargetVerdict verdict{.judged = true,
                        .value = unit * figure.value,
                        .upper = unit * figure.upper,
                        .factor = factor_of(target, figure, decision)};
  verdict.compared = verdict.factor * unit * bound;
  verdict.passed = verdict.compared <= target.limit;
  return verdict;
}

}  // namespace leeward::control
