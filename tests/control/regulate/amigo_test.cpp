// Astrom & Hagglund, J. Process Control 14 (2004) 635-650; Advanced PID Control, 2006, ch. 7. Settings
// computed apart from the formulas of two independent implementations; peaks of the sensitivity on the true
// process computed apart.
#include "control/regulate/amigo.hpp"

#include <gtest/gtest.h>

#include "control/regulate/loop_margins.hpp"

namespace leeward::control {
namespace {

struct AmigoRow {
  const char* name;
  LagModel model;
  std::initializer_list<double> lags_s;
  double delay_s;
  IsaGains pi, pid;
  double pi_ms, pid_ms;
};

const AmigoRow kAmigoRows[] = {
    {"four lags apart",
     {.gain = 1, .tau_s = 1.04, .delay_s = .075},
     {1, .1, .01, .001},
     0,
     {4.1333, .5389},
     {6.4400, .3612, .0367},
     1.371,
     1.297},
    {"four equal lags",
     {.gain = 1, .tau_s = 2.9, .delay_s = 1.42},
     {1, 1, 1, 1},
     0,
     {.4142, 2.6550},
     {1.1190, 2.3982, .6191},
     1.318,
     1.616},
    {"mostly delay",
     {.gain = 1, .tau_s = .093, .delay_s = 1.01},
     {.05, .05},
     1,
     {.1751, .3672},
     {.2414, .4740, .1186},
     1.457,
     1.424},
};

TEST(Amigo, GivesThePublishedSettingsAndTheirPeaks) {
  for (const AmigoRow& row : kAmigoRows) {
    ProcessModel process{.delay_s = row.delay_s};
    for (const double lag : row.lags_s) process.lags_s.push_back(lag);

    const IsaGains pi = amigo_pi(row.model);
    const IsaGains pid = amigo_pid(row.model);

    EXPECT_NEAR(pi.kc, row.pi.kc, 6e-5) << row.name;  // four decimals
    EXPECT_NEAR(pi.ti_s, row.pi.ti_s, 6e-5) << row.name;
    EXPECT_NEAR(pid.kc, row.pid.kc, 6e-5) << row.name;
    EXPECT_NEAR(pid.ti_s, row.pid.ti_s, 6e-5) << row.name;
    EXPECT_NEAR(pid.td_s, row.pid.td_s, 6e-5) << row.name;
    EXPECT_NEAR(loop_margins({pi.kc, pi.ti_s}, process).ms, row.pi_ms, 6e-4) << row.name;
    EXPECT_NEAR(loop_margins({pid.kc, pid.ti_s, pid.td_s}, process).ms, row.pid_ms, 6e-4) << row.name;
  }
}

TEST(Amigo, GivesTheSettingsOfFirstOrderLagsOfAllRatios) {  // computed apart from the same formulas
  struct Row {
    double tau_s;
    IsaGains pi, pid;
  };
  for (const Row& row :
       {Row{1, {.25, 1}, {.65, 1.09091, .38462}}, Row{2, {.40556, 1.83571}, {1.1, 1.66667, .43478}},
        Row{5, {1.20556, 3.88261}, {2.45, 2.93333, .47170}},
        Row{10, {2.82355, 6.07687}, {4.7, 4.2, .48544}}}) {
    const LagModel model{.gain = 1, .tau_s = row.tau_s, .delay_s = 1};
    const IsaGains pi = amigo_pi(model);
    const IsaGains pid = amigo_pid(model);
    EXPECT_NEAR(pi.kc, row.pi.kc, 6e-6);  // five decimals
    EXPECT_NEAR(pi.ti_s, row.pi.ti_s, 6e-6);
    EXPECT_NEAR(pid.kc, row.pid.kc, 6e-6);
    EXPECT_NEAR(pid.ti_s, row.pid.ti_s, 6e-6);
    EXPECT_NEAR(pid.td_s, row.pid.td_s, 6e-6);
  }
}

TEST(Amigo, WeighsTheSetpointByTheShareOfTheDelay) {  // b = 0 where L/(L + T) <= 0.5, else 1
  EXPECT_EQ(amigo_pi({.gain = 1, .tau_s = 1, .delay_s = 1}).setpoint_weight, 0);
  EXPECT_EQ(amigo_pid({.gain = 1, .tau_s = 1, .delay_s = 1.01}).setpoint_weight, 1);
}

TEST(Amigo,
     TakesAnIntegratorForTheLimitOfLongLags) {  // 0.35/(Kv L), 13.4 L; 0.45/(Kv L), 8 L, 0.5 L: from memory
  const IsaGains pi = amigo_pi_integrating(2, 3);
  const IsaGains pid = amigo_pid_integrating(2, 3);

  EXPECT_NEAR(pi.kc, 0.35 / 6, 1e-12);
  EXPECT_NEAR(pi.ti_s, 40.2, 1e-12);
  EXPECT_NEAR(pid.kc, 0.45 / 6, 1e-12);
  EXPECT_NEAR(pid.ti_s, 24, 1e-12);
  EXPECT_NEAR(pid.td_s, 1.5, 1e-12);
  const LagModel slow{.gain = 2e6, .tau_s = 1e6, .delay_s = 3};
  EXPECT_NEAR(amigo_pi(slow).kc / pi.kc, 1, 1e-5);
  EXPECT_NEAR(amigo_pid(slow).kc / pid.kc, 1, 1e-5);
  EXPECT_NEAR(amigo_pid(slow).ti_s / pid.ti_s, 1, 1e-4);
  EXPECT_NEAR(amigo_pid(slow).td_s / pid.td_s, 1, 1e-5);
}

/// Times times c and gain times g: K/g, and the times times c. A rule that has lost a factor fails here.
TEST(TuningRules, ScaleWithTimeAndGain) {
  const auto expect_scaled = [](const char* name, const IsaGains& one, const IsaGains& other) {
    EXPECT_NEAR(other.kc * 5 / one.kc, 1, 1e-12) << name;
    EXPECT_NEAR(other.ti_s, 7 * one.ti_s, 1e-9) << name;
    EXPECT_NEAR(other.td_s, 7 * one.td_s, 1e-9) << name;
    EXPECT_EQ(other.setpoint_weight, one.setpoint_weight) << name;
  };
  const auto of_simc = [](const SimcGains& g) { return IsaGains{g.kc, g.ti_s, g.td_s}; };
  for (const double delay : {0.05, 0.4, 3.0, 40.0}) {
    const LagModel one{.gain = 2, .tau_s = 3, .delay_s = delay, .tau2_s = 0.7};
    const LagModel other{.gain = 10, .tau_s = 21, .delay_s = 7 * delay, .tau2_s = 4.9};
    expect_scaled("AMIGO PI", amigo_pi(one), amigo_pi(other));
    expect_scaled("AMIGO PID", amigo_pid(one), amigo_pid(other));
    expect_scaled("SIMC", of_simc(simc_gains(one, delay)), of_simc(simc_gains(other, 7 * delay)));
    expect_scaled("SIMC, ISA form", of_simc(isa_form(simc_gains(one, delay))),
                  of_simc(isa_form(simc_gains(other, 7 * delay))));
    // A slope is a gain over a time: five times the gain, seven times slower.
    expect_scaled("AMIGO PI, integrator", amigo_pi_integrating(2, delay),
                  amigo_pi_integrating(10.0 / 7, 7 * delay));
    expect_scaled("AMIGO PID, integrator", amigo_pid_integrating(2, delay),
                  amigo_pid_integrating(10.0 / 7, 7 * delay));
    expect_scaled("SIMC, integrator", of_simc(simc_integrating(2, delay, .7, delay)),
                  of_simc(simc_integrating(10.0 / 7, 7 * delay, 4.9, 7 * delay)));
  }
}

}  // namespace
}  // namespace leeward::control
