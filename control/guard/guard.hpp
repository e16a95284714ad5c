#pragma once
/// The last in the chain: sees what was read and what is about to be commanded, and may only lower it,
/// hold it or stop the fan. A trip is latched, names its cause and its figures, and stays until a person
/// clears it.

#include <cstdint>

#include "control/engine_config.hpp"
#include "control/guard/response_watch.hpp"
#include "control/phase.hpp"
#include "control/trace.hpp"

namespace leeward::control {

struct GuardInput {
  std::int64_t now_ns = 0;
  double dt_s = 0;
  bool out_of_turn = false;
  double gap_s = 0;        ///< time since the last tick as it was, however long
  double gap_limit_s = 1;  ///< longest that the fan may be driven without a look
  bool refused = false;    ///< the device answers, but not as it was asked to
  // what was read
  bool pressure_good = false;
  double pressure_signed_pa = 0;  ///< last accepted, indoor minus outdoor
  double pressure_age_s = 0;      ///< of the last accepted reading
  bool pressure_frozen = false;
  bool pressure_saturated = false;
  bool has_zero_flow = false;
  double induced_pa = 0;        ///< size along the direction
  double most_pressure_pa = 0;  ///< that the fan can have made of all it was told, either way
  double zero_flow_sd_pa = 0;   ///< unrest of the zero-flow pressure
  bool reading_needed = false;  ///< a zero-flow pressure is being taken
  bool signal_good = true;      ///< every fan's
  bool signal_needed = false;   ///< a run is going on: without flow there is no test
  double signal_pa = 0;         ///< largest of the fans
  ResponseSight response;       ///< what is made and what is read of it
  std::int32_t late_ticks = 0;
  double silent_s = 0;        ///< since the last sign of life
  double silent_limit_s = 0;  ///< after which the fan is stopped; 0: not now
  // what is wanted
  bool drive = false;
  double demand_frac = 0;
  double last_applied_frac = 0;
};

/// All that the guard remembers.
struct GuardState {
  Trip trip;
  double ramp_from_frac = 0;  ///< demand at the moment of a ramping trip
  double over_pressure_s = 0;
  double rate_s = 0;
  ResponseWatch response;
  double wrong_way_s = 0;
  double rest_pa = 0;  ///< induced pressure while the fan stood: an open fan's hole moves the house by itself
  double refused_s = 0;
  double signal_missing_s = 0;
  double at_rest_s = 0;  ///< the command has been zero so long
  double signal_at_stop_pa = 0;
  std::int32_t late_in_a_row = 0;
  double rate_pressure_pa = 0;  ///< pressure that the rate is measured from
  double rate_age_s = 0;
  double rate_pa_s = 0;
  double trend_extreme_frac = 0;  ///< demand at the last turning point
  std::int32_t trend = 0;         ///< which way demand moves
  std::int32_t swings = 0;        ///< large swings of demand in a row
  double swing_age_s = 0;
  double swing_low_pa = 0;  ///< induced pressure since the last turning point ...
  double swing_high_pa = 0;
  double before_low_pa = 0;  ///< ... and between the two before
  double before_high_pa = 0;
  bool operator==(const GuardState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("trip", &GuardState::trip);
    v("ramp_from_frac", &GuardState::ramp_from_frac);
    v("over_pressure_s", &GuardState::over_pressure_s);
    v("rate_s", &GuardState::rate_s);
    v("response", &GuardState::response);
    v("wrong_way_s", &GuardState::wrong_way_s);
    v("rest_pa", &GuardState::rest_pa);
    v("refused_s", &GuardState::refused_s);
    v("signal_missing_s", &GuardState::signal_missing_s);
    v("at_rest_s", &GuardState::at_rest_s);
    v("signal_at_stop_pa", &GuardState::signal_at_stop_pa);
    v("late_in_a_row", &GuardState::late_in_a_row);
    v("rate_pressure_pa", &GuardState::rate_pressure_pa);
    v("rate_age_s", &GuardState::rate_age_s);
    v("rate_pa_s", &GuardState::rate_pa_s);
    v("trend_extreme_frac", &GuardState::trend_extreme_frac);
    v("trend", &GuardState::trend);
    v("swings", &GuardState::swings);
    v("swing_age_s", &GuardState::swing_age_s);
    v("swing_low_pa", &GuardState::swing_low_pa);
    v("swing_high_pa", &GuardState::swing_high_pa);
    v("before_low_pa", &GuardState::before_low_pa);
    v("before_high_pa", &GuardState::before_high_pa);
  }
};

struct GuardOutput {
  bool drive = false;
  double demand_frac = 0;
  LimitedBy limited_by = LimitedBy::nothing;
  bool tripped_now = false;
  bool too_windy = false;  ///< the wind alone carries the building beyond the ceiling
};

/// One look at everything, once per sample.
/// Range   the demand that comes out is finite, within 0..demand_max_frac, and never above what came in
[[nodiscard]] GuardOutput guard_step(const LimitSpec& limits, GuardState& state,
                                     const GuardInput& in) noexcept;

/// Forgets a trip when a person has cleared it, but not that the fan may be turning still.
void clear_trip(GuardState& state) noexcept;

}  // namespace leeward::control
