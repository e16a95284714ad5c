#pragma once
/// Whether a result keeps a limit, by a rule that is stated with it.

#include "control/analysis/target_spec.hpp"

namespace leeward::control {

/// simple: the figure itself is not above the limit. guarded: its one-sided 95 % bound is not.
enum class Decision : std::uint8_t { simple, guarded };

/// The figure that a target limits, in the unit of its metric.
struct TargetFigure {
  bool known = false;
  double value = 0;
  double high = 0;   ///< of the two-sided interval
  double upper = 0;  ///< one-sided bound
  bool exponent_assumed = false;
};

/// In the target's unit. Nothing of it goes back into the result.
struct TargetVerdict {
  bool judged = false;  ///< false where the figure is not known
  bool passed = false;
  double value = 0;  ///< as measured
  double upper = 0;
  double factor = 1;    ///< that the programme puts on it
  double compared = 0;  ///< what was held against the limit
};

/// Range    a limit belongs to what is allowed; a figure that is not finite is not known. Where the rule is
///          guarded the bound stands for the uncertainty, and the programme's own addition is left out.
[[nodiscard]] TargetVerdict judge_target(const TargetSpec& target, const TargetFigure& figure,
                                         Decision decision) noexcept;

}  // namespace leeward::control
