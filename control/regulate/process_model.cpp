#include "control/regulate/process_model.hpp"

#include <cmath>

namespace leeward::control {

using Complex = std::complex<double>;

Complex response_at(const ProcessModel& process, double w) noexcept {
  const Complex s(0, w);
  Complex out = process.gain * std::polar(1.0, -w * process.delay_s);
  for (const double zero : process.zeros_s) out *= zero * s + 1.0;
  for (const double lag : process.lags_s) out /= lag * s + 1.0;
  return process.integrates ? out / s : out;
}

Complex response_at(const LoopController& c, double w) noexcept {
  const Complex s(0, w);
  const Complex integral = std::isfinite(c.ti_s) ? 1.0 / (c.ti_s * s) : Complex(0);
  const Complex filter = c.filter_n > 0 ? 1.0 + c.td_s / c.filter_n * s : Complex(1);
  const Complex derivative = c.td_s * s;
  if (c.form == PidForm::isa) return c.kc * (1.0 + integral + derivative / filter);
  return c.kc * (1.0 + integral) * (1.0 + derivative) / filter;
}

}  // namespace leeward::control
