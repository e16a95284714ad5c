// The rule's PID in the form that pid_step takes: same sensitivity, and a loop that runs on it.

#include <gtest/gtest.h>

#include <array>
#include <complex>
#include <functional>

#include "control/regulate/simc.hpp"
#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

using TunedComplex = std::complex<double>;

/// Peak of 1 / |1 + P C| for a controller in ISA form, unfiltered derivative.
double tuned_peak(const std::function<TunedComplex(TunedComplex)>& plant, const SimcGains& isa) {
  double peak = 0;
  for (double w = 1e-3; w < 1e3; w *= 1.001) {
    const TunedComplex s(0, w);
    peak =
        std::max(peak, 1 / std::abs(1.0 + plant(s) * isa.kc * (1.0 + 1.0 / (isa.ti_s * s) + isa.td_s * s)));
  }
  return peak;
}

TEST(SimcIsaForm, HasTheSensitivityPeakOfTheSeriesForm) {
  // Examples of Skogestad, J. Process Control 13 (2003), settings from memory; peaks of the series PID
  // Kc (Ti s + 1)(Td s + 1)/(Ti s) on the true process computed outside this program.
  struct TunedRow {
    const char* name;
    double delay_s, tau_s, tau2_s, ms;
    std::function<TunedComplex(TunedComplex)> plant;
  };
  const std::array<TunedRow, 4> rows = {
      {{"E4", 1.5, 1.5, 1, 1.432, [](TunedComplex s) { return 1.0 / std::pow(s + 1.0, 4); }},
       {"E9", 1, 1, 1, 1.590, [](TunedComplex s) { return std::exp(-s) / std::pow(s + 1.0, 2); }},
       {"E10", 1, 20, 2, 1.651,
        [](TunedComplex s) { return std::exp(-s) / ((20.0 * s + 1.0) * (2.0 * s + 1.0)); }},
       {"E11", 3, 6, 3, 1.657, [](TunedComplex s) {
          return (-s + 1.0) * std::exp(-s) / ((6.0 * s + 1.0) * std::pow(2.0 * s + 1.0, 2));
        }}}};
  for (const TunedRow& row : rows) {
    const LagModel model{.tau_s = row.tau_s, .delay_s = row.delay_s, .tau2_s = row.tau2_s};
    EXPECT_NEAR(tuned_peak(row.plant, isa_form(simc_gains(model, row.delay_s))), row.ms, 6e-4) << row.name;
  }
}

TEST(SimcIsaForm, OfAPiIsThePi) {
  const SimcGains pi = simc_gains({.gain = 2, .tau_s = 10, .delay_s = 1}, 1);

  const SimcGains isa = isa_form(pi);

  EXPECT_EQ(isa.kc, pi.kc);
  EXPECT_EQ(isa.ti_s, pi.ti_s);
  EXPECT_EQ(isa.td_s, 0);
}

TEST(SimcIsaForm, RunsALoopOfTwoLagsAndADelayToItsSetpoint) {
  const SimcGains isa = isa_form(simc_gains({.gain = 1, .tau_s = 10, .delay_s = 0.5, .tau2_s = 2}, 0.5));
  pid_rig::Loop loop{{.kc = isa.kc, .ti_s = isa.ti_s, .td_s = isa.td_s, .out_min = -100, .out_max = 100}};
  pid_rig::LagPlant fast(1, 2, 0.5, 0.05);
  pid_rig::LagPlant slow(1, 10, 0, 0.05);
  double highest = 0;

  for (int k = 0; k < 4000; ++k) {
    fast.step(loop.step(1, slow.y(), 0.05).u);
    slow.step(fast.y());
    highest = std::max(highest, slow.y());
  }

  EXPECT_NEAR(slow.y(), 1, 1e-6);
  EXPECT_LT(highest, 1.35);
}

}  // namespace
}  // namespace leeward::control
