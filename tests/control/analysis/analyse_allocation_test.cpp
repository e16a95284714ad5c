// The analysis runs in a control tick: no allocation, and far less than the 5 ms that such a tick may take.

#include <gtest/gtest.h>

#include "control/analysis/analyse.hpp"
#include "tests/control/analysis/worked_example.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

RunRecord fullest_run() {
  RunRecord run = worked_example::run();
  for (DirectionRecord& d : run.directions) {
    for (BaselineRecord* b : {&d.before, &d.after})
      while (!b->blocks.means.full()) b->blocks.means.push_back({b->mean_pa, 0, 0});
    StationRecord& one = d.stations[0];
    while (!one.blocks.means.full())
      one.blocks.means.push_back({one.pressure_mean_pa, one.flow_mean_m3_s, 0});
    const StationRecord first = d.stations[0];
    while (!d.stations.full()) {
      d.stations.push_back(first);
      d.stations.back().flow_mean_m3_s *= 1 + 0.01 * static_cast<double>(d.stations.size() % 3);
      d.stations.back().restriction = static_cast<int>(d.stations.size() % 3);
    }
  }
  while (!run.procedure.checks.full())
    run.procedure.checks.push_back(worked_example::at_least(CheckKind::r2_min, 0.98));
  return run;
}

TEST(AnalyseAllocation, OfTheFullestRunIsNone) {
  const RunRecord run = fullest_run();
  const std::size_t before = test::allocations();

  const RunResult result = analyse(run);

  EXPECT_EQ(test::allocations(), before);
  EXPECT_TRUE(result.computed);
}

}  // namespace
}  // namespace leeward::control
