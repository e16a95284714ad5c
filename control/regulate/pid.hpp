#pragma once
/// The plain 2-DOF PI(D): one pure step, everything it remembers in one value.

#include <cstdint>
#include <limits>

#include "control/result.hpp"

namespace leeward::control {

/// Form     u = sat(ff + K (b r - y) + I + D), derivative filtered and on -y only (backward Euler); the
///          integral is in output units and advances after u: I += K h/Ti e + min(1, h/Tt) (u - v)
/// Limits   u there is what was truly applied: pid_step puts in its own limited output, pid_applied adds
///          the rest once the chain behind it (slew limit, guard, quantiser, a hand) has had its say. The
///          same term serves both limits, either sign of K and every later stage; without one the two are 0
/// Units    output in its own unit (here fractions of full demand), input in Pa, times in s
/// Source   ISA form with setpoint weight and back-calculation, Astrom and Hagglund, Advanced PID
///          Control, 2006 (from memory)
struct PidTuning {
  double kc = 0;                                          ///< may be negative for a reverse-acting plant
  double ti_s = std::numeric_limits<double>::infinity();  ///< infinite: no integral action
  double td_s = 0;                                        ///< 0: no derivative action
  double derivative_n = 8;                                ///< filter: N/Td; 0 with td 0 only
  double tt_s = 0;  ///< tracking time; 0: Ti, or sqrt(Ti Td) with a derivative; infinite: no tracking
  double setpoint_weight = 1;
  double out_min = 0;
  double out_max = 1;
  double deadband = 0;   ///< of the error: inside it the integral takes no error, but still tracks
  double max_gap_s = 1;  ///< longer steps are not integrated over
  /// Bounds of the integral alone, apart from those of the output.
  double integral_min = -std::numeric_limits<double>::infinity();
  double integral_max = std::numeric_limits<double>::infinity();
  bool operator==(const PidTuning&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("kc", &PidTuning::kc);
    v("ti_s", &PidTuning::ti_s);
    v("td_s", &PidTuning::td_s);
    v("derivative_n", &PidTuning::derivative_n);
    v("tt_s", &PidTuning::tt_s);
    v("setpoint_weight", &PidTuning::setpoint_weight);
    v("out_min", &PidTuning::out_min);
    v("out_max", &PidTuning::out_max);
    v("deadband", &PidTuning::deadband);
    v("max_gap_s", &PidTuning::max_gap_s);
    v("integral_min", &PidTuning::integral_min);
    v("integral_max", &PidTuning::integral_max);
  }
};

/// @returns the tuning where it makes sense, else the field and what is allowed
[[nodiscard]] Result<PidTuning> checked(const PidTuning& tuning);

struct PidState {
  double integral = 0;  ///< in output units
  double derivative = 0;
  double last_y = 0;
  bool has_y = false;         ///< last_y is from the step before: the derivative may use it
  std::int64_t stamp_ns = 0;  ///< of the last sample taken in
  bool has_stamp = false;
  double output = 0;    ///< of the last step, after its own limits
  double tracking = 0;  ///< min(1, h/Tt) of the last step
  bool operator==(const PidState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("integral", &PidState::integral);
    v("derivative", &PidState::derivative);
    v("last_y", &PidState::last_y);
    v("has_y", &PidState::has_y);
    v("stamp_ns", &PidState::stamp_ns);
    v("has_stamp", &PidState::has_stamp);
    v("output", &PidState::output);
    v("tracking", &PidState::tracking);
  }
};

struct PidInput {
  double r = 0;  ///< set-point
  double y = 0;  ///< measured
  double feedforward = 0;
  std::int64_t stamp_ns = 0;  ///< of the sample; the same stamp again is the same sample again
};

struct PidWhy {
  double p = 0;
  double i = 0;
  double d = 0;
  double feedforward = 0;
  double unlimited = 0;
  bool at_min = false;
  bool at_max = false;
  bool held = false;  ///< bad value, old sample, or a step of unusable length: nothing was integrated
  bool operator==(const PidWhy&) const = default;
};

struct PidOutput {
  double u = 0;
  PidState next;
  PidWhy why;
};

/// One step. A step whose time or values are unusable holds the last output and the integral, and the
/// derivative restarts from the next good sample. A value that is not finite is as if it had not been
/// read; a gap above max_gap, or a stamp that far back, starts the clock and the derivative anew.
/// Range   u is finite and within out_min..out_max, whatever comes in
/// The first step after a start integrates over nothing: the interval before it is not known.
[[nodiscard]] PidOutput pid_step(const PidTuning& tuning, const PidState& state, const PidInput& in) noexcept;

/// A step without a sample: the last output again, nothing integrated.
[[nodiscard]] PidOutput pid_hold(const PidState& state) noexcept;

/// Tells the integral what was truly applied after every later limit, as if pid_step had known it.
[[nodiscard]] PidState pid_applied(const PidState& state, double applied) noexcept;

/// One tick in which something else drives the plant with `applied` (by hand, or off): clock, measured value
/// and integral follow, so that pid_step can take over in any later tick without a bump.
[[nodiscard]] PidState pid_track(const PidTuning& tuning, const PidState& state, const PidInput& in,
                                 double applied) noexcept;

/// Bumpless start: the next step's output with these inputs is `applied`.
[[nodiscard]] PidState pid_start(const PidTuning& tuning, const PidInput& in, double applied) noexcept;

/// Bumpless change of gain and weight: the output with these inputs stays what it is.
[[nodiscard]] PidState pid_retune(const PidState& state, const PidTuning& from, const PidTuning& to,
                                  const PidInput& in) noexcept;

}  // namespace leeward::control
