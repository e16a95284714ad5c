#pragma once
/// Judges a run with a fault, tick by tick: is the fan off in time, and does it do the house no harm.

#include <optional>

#include "sim/campaign/closed_loop.hpp"
#include "sim/campaign/fault_rules.hpp"
#include "sim/campaign/fault_stage.hpp"

namespace leeward::sim {

/// How long a rule has been met, and how long the fan then went on.
struct FaultClock {
  double clean_s = 0;       ///< when it was last not met
  bool observable = false;  ///< now
  bool was_observable = false;
  double since_s = 0;    ///< when it became so, with the fan driven
  double to_safe_s = 0;  ///< longest; 0 where the fan was off in the same tick
};

class FaultJudge {
 public:
  FaultJudge(const FaultStage& stage, double ceiling_pa, double range_pa);
  /// After each tick of the loop.
  void look(const ClosedLoop& loop, const control::Sample& sample, const control::StepOutput& out);
  [[nodiscard]] bool demanded() const { return fault_.was_observable || ceiling_.was_observable; }
  [[nodiscard]] double to_safe_s() const { return std::max(fault_.to_safe_s, ceiling_.to_safe_s); }
  /// Longest time with the true pressure 5 Pa beyond the ceiling, less what the same house, its fan told to
  /// stop at the first sample that shows it, is beyond it.
  [[nodiscard]] double beyond_s() const { return beyond_s_; }
  /// The true pressure was beyond the ceiling lately.
  [[nodiscard]] bool lately_beyond() const { return now_s_ - beyond_at_s_ < 3; }

 private:
  void tell(FaultClock& clock, const FaultRule& rule, const FaultSight& sight, bool applies,
            bool driven) const;
  void follow_twin(const ClosedLoop& loop, bool shows);
  const FaultStage& stage_;
  double ceiling_pa_;
  double range_pa_;
  FaultClock fault_;
  FaultClock ceiling_;
  std::optional<Plant> stopped_;  ///< the house, with its fan told to stop
  control::Sample before_;
  double now_s_ = 0;
  double dt_s_ = 0;
  double demand_frac_ = 0;
  double beyond_s_ = 0;
  double episode_s_ = 0;
  double episode_at_s_ = -1e9;
  double shown_at_s_ = -1e9;
  double beyond_at_s_ = -1e9;
};

}  // namespace leeward::sim
