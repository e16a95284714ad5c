#pragma once
/// The moving set-point: travels to a target at a limited rate and lands on it without passing it.

namespace leeward::control {

struct ReferenceState {
  double value_pa = 0;
  bool operator==(const ReferenceState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("value_pa", &ReferenceState::value_pa);
  }
};

/// Bumpless start from a pressure; not finite counts as 0.
[[nodiscard]] ReferenceState reference_at(double pressure_pa) noexcept;

/// One step towards the target. Far from it the reference moves at rate; near it the way that is left
/// shrinks with the square of time, so that it comes to rest at landing_pa_s2.
///
/// Range   never passes the target; a rate, landing or dt of 0 or below, or anything not finite, leaves it as
///         it is: a rate of 0 holds
/// Exact   the closed form over each step: one long step and many short ones end alike
[[nodiscard]] ReferenceState reference_step(const ReferenceState& state, double target_pa, double rate_pa_s,
                                            double landing_pa_s2, double dt_s) noexcept;

}  // namespace leeward::control
