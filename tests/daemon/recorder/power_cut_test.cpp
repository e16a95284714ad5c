#include <gtest/gtest.h>

#include "tests/daemon/recorder/cut_trial.hpp"

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;

CutPlan flat_out(std::uint64_t seed, std::uint64_t ticks, bool closes) {
  CutPlan plan;
  plan.seed = seed;
  plan.ticks = ticks;
  plan.closes = closes;
  plan.options.commit_period = 1ms;
  plan.options.retry_period = 1ms;
  return plan;
}

/// Cuts before any change of the disk that such a recording makes. @returns stations that were safe and held
std::uint64_t cut_many(int cuts, std::uint64_t ticks, bool closes, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  const long changes = CutTrial(flat_out(seed, ticks, closes)).run().changes;
  EXPECT_GT(changes, 50) << "the recording must have reached the disk layer of this test";
  std::uint64_t stations = 0;
  for (int i = 0; i < cuts && !testing::Test::HasFailure(); ++i) {
    CutPlan plan = flat_out(random(), ticks, closes);
    plan.before_change = 1 + static_cast<long>(random() % static_cast<std::uint64_t>(changes));
    const CutOutcome outcome = CutTrial(plan).run();
    EXPECT_EQ(outcome.fault, "") << "seed " << plan.seed << ", before change " << plan.before_change;
    stations += outcome.stations;
  }
  return stations;
}

TEST(PowerCut, AtAnyWriteLosesNothingThatWasSafe) {
  const CutVfs vfs;
  EXPECT_GT(cut_many(200, 120, true, 1), 0U);
}

TEST(PowerCut, WhileTheLogIsCopiedBackLosesNothingThatWasSafe) {
  const CutVfs vfs;
  EXPECT_GT(cut_many(20, 3000, false, 2), 0U);
}

TEST(PowerCut, DiskThatForgetsWhatWasSyncedIsNoticed) {
  const CutVfs vfs;
  CutPlan plan = flat_out(3, 120, false);
  CutTrial trial(plan);
  trial.forget_syncs();

  EXPECT_NE(trial.run().fault, "");
}

}  // namespace
}  // namespace leeward::daemon
