#pragma once
/// A fixture for stories of the guard.

#include <gtest/gtest.h>

#include <cmath>

#include "control/guard/guard.hpp"

namespace leeward::control {

/// A story: the fan holds 50 Pa steadily, time moves by hand, then one thing goes wrong.
class GuardStory : public ::testing::Test {
 protected:
  GuardStory() {
    in_.drive = true;
    in_.pressure_good = true;
    in_.has_zero_flow = true;
    in_.pressure_signed_pa = -50;
    in_.induced_pa = 50;
    in_.zero_flow_sd_pa = 0.3;
    in_.signal_good = true;
    in_.signal_needed = true;
    in_.signal_pa = 40;
    in_.response.sure_pa = 30;
    in_.response.likely_pa = 30;
    in_.response.most_pa = 90;
    in_.response.unrest_pa = in_.response.gust_pa = 0.3;
    in_.response.gust_time_s = 10;
    in_.most_pressure_pa = 120;
    in_.demand_frac = 0.5;
    in_.last_applied_frac = 0.5;
    in_.dt_s = 0.1;
    run_for(5.0);
    EXPECT_FALSE(state_.trip.active());
  }

  GuardOutput tick() {
    in_.now_ns += 100'000'000;
    in_.response.dt_s = in_.dt_s;
    in_.response.applies = in_.drive && in_.has_zero_flow;
    in_.response.fresh = in_.pressure_good;
    in_.response.reading_pa = -in_.pressure_signed_pa;
    in_.response.induced_pa = in_.induced_pa;
    out_ = guard_step(limits_, state_, in_);
    in_.last_applied_frac = out_.demand_frac;
    return out_;
  }
  void run_for(double seconds) {
    for (int i = 0; i < static_cast<int>(std::lround(seconds * 10)); ++i) tick();
  }
  /// Ticks until a trip; the number of ticks it took, or -1.
  int ticks_to_trip(int at_most) {
    for (int i = 1; i <= at_most; ++i)
      if (tick().tripped_now) return i;
    return -1;
  }
  void set_pressure(double signed_pa) {
    in_.pressure_signed_pa = signed_pa;
    in_.induced_pa = -signed_pa;
  }

  LimitSpec limits_;
  GuardState state_;
  GuardInput in_;
  GuardOutput out_;
};

}  // namespace leeward::control
