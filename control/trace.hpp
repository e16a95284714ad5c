#pragma once
/// Why the engine did what it did, one record a tick: every term, and what limited it. Recorded as it
/// is, never recomputed. Pressures without "signed" are sizes along the direction of the test.

#include <array>
#include <cstdint>

#include "control/phase.hpp"
#include "control/sample.hpp"
#include "control/signs.hpp"

namespace leeward::control {

enum class LimitedBy : std::uint8_t {
  nothing,
  demand_max,
  demand_min,
  slew,
  ceiling,
  guard_hold,
  trip,
  hands_at_fan
};

struct Trace {
  std::int64_t stamp_ns = 0;
  Phase phase = Phase::idle;
  Direction direction = Direction::depressurize;
  bool pressure_good = false;
  double pressure_signed_pa = 0;  ///< after the screen, indoor minus outdoor
  double zero_flow_pa = 0;        ///< subtracted to get the induced pressure, signed
  bool has_zero_flow = false;
  double induced_pa = 0;    ///< size along the direction
  double target_pa = 0;     ///< where the phase wants to be; 0 when nothing is wanted
  double reference_pa = 0;  ///< the moving set-point of this tick
  double error_pa = 0;
  double feedforward_frac = 0;
  double p_frac = 0;
  double i_frac = 0;
  double d_frac = 0;
  double unlimited_frac = 0;
  double demand_frac = 0;  ///< after every limit
  LimitedBy limited_by = LimitedBy::nothing;
  double gain_frac_per_pa = 0;
  double integral_time_s = 0;
  std::array<double, kMaxFans> flow_m3_s{};  ///< as read, per fan
  std::array<double, kMaxFans> signal_pa{};  ///< after screen and zero
  double total_flow_m3_s = 0;
  double ln_c = 0;  ///< learnt house curve, m3/(s Pa^n), as read
  double n = 0;
  double ln_c_u = 0;  ///< standard uncertainty of ln C at the centre of the data
  double n_u = 0;
  double demand_offset_frac = 0;  ///< learnt: demand = offset + scale * speed of the fan curve
  double demand_scale = 1;
  double countdown_s = 0;   ///< until the fan starts, 0 when none
  double phase_left_s = 0;  ///< planned rest of the present averaging, 0 when not known
  TripCause trip = TripCause::none;
  bool operator==(const Trace&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("stamp_ns", &Trace::stamp_ns);
    v("phase", &Trace::phase);
    v("direction", &Trace::direction);
    v("pressure_good", &Trace::pressure_good);
    v("pressure_signed_pa", &Trace::pressure_signed_pa);
    v("zero_flow_pa", &Trace::zero_flow_pa);
    v("has_zero_flow", &Trace::has_zero_flow);
    v("induced_pa", &Trace::induced_pa);
    v("target_pa", &Trace::target_pa);
    v("reference_pa", &Trace::reference_pa);
    v("error_pa", &Trace::error_pa);
    v("feedforward_frac", &Trace::feedforward_frac);
    v("p_frac", &Trace::p_frac);
    v("i_frac", &Trace::i_frac);
    v("d_frac", &Trace::d_frac);
    v("unlimited_frac", &Trace::unlimited_frac);
    v("demand_frac", &Trace::demand_frac);
    v("limited_by", &Trace::limited_by);
    v("gain_frac_per_pa", &Trace::gain_frac_per_pa);
    v("integral_time_s", &Trace::integral_time_s);
    v("flow_m3_s", &Trace::flow_m3_s);
    v("signal_pa", &Trace::signal_pa);
    v("total_flow_m3_s", &Trace::total_flow_m3_s);
    v("ln_c", &Trace::ln_c);
    v("n", &Trace::n);
    v("ln_c_u", &Trace::ln_c_u);
    v("n_u", &Trace::n_u);
    v("demand_offset_frac", &Trace::demand_offset_frac);
    v("demand_scale", &Trace::demand_scale);
    v("countdown_s", &Trace::countdown_s);
    v("phase_left_s", &Trace::phase_left_s);
    v("trip", &Trace::trip);
  }
};

}  // namespace leeward::control
