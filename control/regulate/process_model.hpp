#pragma once
/// A process as its factors, and what it does to a sine.

#include <complex>

#include "control/fixed_vector.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxFactors = 8;
using Factors = FixedVector<double, kMaxFactors>;

/// gain e^(-delay s) times (zero s + 1) of every zero, over (lag s + 1) of every lag and s for an integrator.
/// A zero below 0 answers the wrong way first: (-T s + 1) is -T.
struct ProcessModel {
  double gain = 1;   ///< output per input; with an integrator per input and second
  Factors lags_s{};  ///< above 0
  Factors zeros_s{};
  bool integrates = false;
  double delay_s = 0;
};

/// Range   w above 0, rad/s
[[nodiscard]] std::complex<double> response_at(const ProcessModel& process, double w) noexcept;

enum class PidForm : unsigned char {
  isa,    ///< kc (1 + 1/(ti s) + td s/(1 + td s/n))
  series  ///< kc (1 + 1/(ti s)) (1 + td s)/(1 + td s/n)
};

struct LoopController {
  double kc = 1;
  double ti_s = 0;  ///< infinite: no integral action
  double td_s = 0;
  double filter_n = 0;  ///< derivative time over its filter's; 0: not filtered
  PidForm form = PidForm::isa;
};

/// Range   w above 0, rad/s
[[nodiscard]] std::complex<double> response_at(const LoopController& controller, double w) noexcept;

}  // namespace leeward::control
