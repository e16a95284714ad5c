#pragma once
/// The look-round that nobody answers.

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/engine/closed_loop.hpp"

namespace leeward::bench {

/// From the look-round on the crew is silent for so many ticks: the pressure stays low, the phase as it is.
inline void expect_waits_at_the_look_round_pressure(ClosedLoop& loop, int ticks) {
  loop.set_crew(false);
  double peak_pa = 0;
  for (int k = 0; k < ticks; ++k) {
    (void)loop.tick();
    peak_pa = std::max(peak_pa, loop.true_induced_pa());
  }
  EXPECT_EQ(loop.state().phase, control::Phase::look_round);
  EXPECT_LT(peak_pa, 12);
}

}  // namespace leeward::bench
