#include "control/regulate/simc.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <functional>

namespace leeward::control {
namespace {

using Complex = std::complex<double>;

/// Peak of the sensitivity 1 / (1 + P C) over a fine sweep of frequencies.
double peak_sensitivity(const std::function<Complex(Complex)>& plant, const SimcGains& pi) {
  double peak = 0;
  for (double w = 1e-3; w < 1e3; w *= 1.0005) {
    const Complex s(0, w);
    const Complex controller = pi.kc * (1.0 + 1.0 / (pi.ti_s * s));
    peak = std::max(peak, 1.0 / std::abs(1.0 + plant(s) * controller));
  }
  return peak;
}

struct Row {
  const char* name;
  double gain, delay_s, tau_s;  ///< of the half-rule model
  double kc, ti_s, ms;
  std::function<Complex(Complex)> plant;
};

// Settings as in Skogestad, J. Process Control 13 (2003) 291-309, table of examples (from memory);
// settings and peaks recomputed with numpy on the true process.
const Row kRows[] = {
    {"E1", 1, .1, 1.1, 5.5, .8, 1.560, [](Complex s) { return 1.0 / ((s + 1.0) * (.2 * s + 1.0)); }},
    {"E3", 1.5, .15, 1.05, 2.333, 1.05, 1.550,
     [](Complex s) {
       return 2.0 * (15.0 * s + 1.0) / ((20.0 * s + 1.0) * (s + 1.0) * (.1 * s + 1.0) * (.1 * s + 1.0));
     }},
    {"E4", 1, 2.5, 1.5, .3, 1.5, 1.463, [](Complex s) { return 1.0 / std::pow(s + 1.0, 4); }},
    {"E5", 1, .148, 1.1, 3.716, 1.1, 1.593,
     [](Complex s) { return 1.0 / ((s + 1.0) * (.2 * s + 1.0) * (.04 * s + 1.0) * (.008 * s + 1.0)); }},
    {"E7", 1, 3.5, 1.5, .2143, 1.5, 1.660, [](Complex s) { return (-2.0 * s + 1.0) / std::pow(s + 1.0, 3); }},
    {"E9", 1, 1.5, 1.5, .5, 1.5, 1.614, [](Complex s) { return std::exp(-s) / std::pow(s + 1.0, 2); }},
    {"E10", 1, 2, 21, 5.25, 16, 1.716,
     [](Complex s) { return std::exp(-s) / ((20.0 * s + 1.0) * (2.0 * s + 1.0)); }},
    {"E11", 1, 5, 7, .7, 7, 1.626,
     [](Complex s) { return (-s + 1.0) * std::exp(-s) / ((6.0 * s + 1.0) * std::pow(2.0 * s + 1.0, 2)); }},
    {"E12", .225, .3, 1, 7.407, 1, 1.657,
     [](Complex s) {
       return (6.0 * s + 1.0) * (3.0 * s + 1.0) * std::exp(-.3 * s) /
              ((10.0 * s + 1.0) * (8.0 * s + 1.0) * (s + 1.0));
     }},
    {"E13", .625, 1.25, 4.5, 2.88, 4.5, 1.737,
     [](Complex s) { return (2.0 * s + 1.0) * std::exp(-s) / ((10.0 * s + 1.0) * (.5 * s + 1.0)); }},
    {"E15", 1, 1, 1, .5, 1, 2.000, [](Complex s) { return (-s + 1.0) / (s + 1.0); }},
    {"E2", 1, 1.47, 2.5, .8503, 2.5, 1.662,
     [](Complex s) {
       return (-.3 * s + 1.0) * (.08 * s + 1.0) /
              ((2.0 * s + 1.0) * (s + 1.0) * (.4 * s + 1.0) * (.2 * s + 1.0) * std::pow(.05 * s + 1.0, 3));
     }},
};

TEST(Simc, GivesThePublishedPiSettingsAndTheirSensitivityPeaks) {
  for (const Row& row : kRows) {
    const SimcGains pi =
        simc_gains({.gain = row.gain, .tau_s = row.tau_s, .delay_s = row.delay_s}, row.delay_s);
    EXPECT_NEAR(pi.kc / row.kc, 1, 2e-4) << row.name;
    EXPECT_NEAR(pi.ti_s, row.ti_s, 1e-9) << row.name;
    EXPECT_NEAR(peak_sensitivity(row.plant, pi), row.ms, 6e-4) << row.name;
  }
}

TEST(Simc, GivesThePublishedPidSettings) {
  const SimcGains e4 = simc_gains({.gain = 1, .tau_s = 1.5, .delay_s = 1.5, .tau2_s = 1}, 1.5);
  EXPECT_NEAR(e4.kc, .5, 1e-12);
  EXPECT_NEAR(e4.ti_s, 1.5, 1e-12);
  EXPECT_NEAR(e4.td_s, 1, 1e-12);
  const SimcGains e10 = simc_gains({.gain = 1, .tau_s = 20, .delay_s = 1, .tau2_s = 2}, 1);
  EXPECT_NEAR(e10.kc, 10, 1e-12);
  EXPECT_NEAR(e10.ti_s, 8, 1e-12);
}

TEST(Simc, ScalesWithTimeAndGain) {
  const SimcGains one = simc_gains({.gain = 2, .tau_s = 3, .delay_s = .5, .tau2_s = .7}, .5);
  const SimcGains slow = simc_gains({.gain = 2, .tau_s = 30, .delay_s = 5, .tau2_s = 7}, 5);
  const SimcGains strong = simc_gains({.gain = 8, .tau_s = 3, .delay_s = .5, .tau2_s = .7}, .5);
  EXPECT_NEAR(slow.kc, one.kc, 1e-12);
  EXPECT_NEAR(slow.ti_s, 10 * one.ti_s, 1e-12);
  EXPECT_NEAR(slow.td_s, 10 * one.td_s, 1e-12);
  EXPECT_NEAR(strong.kc, one.kc / 4, 1e-12);
  EXPECT_NEAR(strong.ti_s, one.ti_s, 1e-12);
}

}  // namespace
}  // namespace leeward::control
