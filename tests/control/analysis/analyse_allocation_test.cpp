// The analysis runs in a control tick: no allocation, and far less than the 5 ms that such a tick may take.

#include <gtest/gtest.h>

#include <atomic>
#include <cstdlib>
#include <new>

#include "control/analysis/analyse.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace {
std::atomic<long> analysis_allocations{0};
}

// Not inlined: the compiler would see free() beside new and warn.
[[gnu::noinline]] void* operator new(std::size_t size) {
  ++analysis_allocations;
  if (void* p = std::malloc(size)) return p;
  throw std::bad_alloc();
}
[[gnu::noinline]] void operator delete(void* p) noexcept { std::free(p); }
[[gnu::noinline]] void operator delete(void* p, std::size_t) noexcept { std::free(p); }

namespace leeward::control {
namespace {

RunRecord fullest_run() {
  RunRecord run = worked_example::run();
  for (DirectionRecord& d : run.directions) {
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
  const long before = analysis_allocations;

  const RunResult result = analyse(run);

  EXPECT_EQ(analysis_allocations, before);
  EXPECT_TRUE(result.computed);
}

}  // namespace
}  // namespace leeward::control
