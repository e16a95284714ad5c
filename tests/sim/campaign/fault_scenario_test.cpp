#include "sim/campaign/fault_scenario.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/random_house.hpp"

namespace leeward::sim {
namespace {

/// A short test of one station.
FaultScenario short_scenario() {
  FaultScenario scenario;
  scenario.wind_m_s = {0, 0};
  scenario.test.most_s = 600;
  scenario.test.procedure.stations_pa.push_back(50);
  return scenario;
}

/// Of some seeds, so that every phase is met.
template <class Check>
void for_runs(FaultKind kind, const Check& check) {
  int happened = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const FaultRun run = run_fault(random_house(seed, {}), {}, short_scenario(), kind, seed);
    happened += run.happened ? 1 : 0;
    check(run);
  }
  EXPECT_GE(happened, 4) << fault_name(kind);
}

TEST(FaultScenario, NothingTripsWhereNothingHappens) {
  for_runs(FaultKind::none, [](const FaultRun& run) {
    EXPECT_EQ(run.cause, control::TripCause::none);
    EXPECT_FALSE(run.demanded);
  });
}

TEST(FaultScenario, AStopByAPersonIsObeyedInTheSameTick) {
  for_runs(FaultKind::operator_stops, [](const FaultRun& run) { EXPECT_EQ(run.to_safe_s, 0); });
}

TEST(FaultScenario, ALostBusStopsADrivenFanWithinASecondAndIsNamed) {
  int demanded = 0;
  for_runs(FaultKind::bus_lost, [&demanded](const FaultRun& run) {
    demanded += run.demanded ? 1 : 0;
    EXPECT_TRUE(run.named || !run.happened);  // while the fan rests, after a wait
    EXPECT_LE(run.to_safe_s, kMostToSafe);
  });
  EXPECT_GT(demanded, 0);
}

TEST(FaultScenario, ATubeThatComesOffDoesNotCarryTheHouseBeyondTheCeiling) {
  for_runs(FaultKind::pressure_tube_off, [](const FaultRun& run) { EXPECT_LE(run.beyond_s, 1.0); });
}

TEST(FaultScenario, TheSameSeedGivesTheSameRun) {
  const HouseSpec house = random_house(3, {});

  const FaultRun a = run_fault(house, {}, short_scenario(), FaultKind::opening, 3);
  const FaultRun b = run_fault(house, {}, short_scenario(), FaultKind::opening, 3);

  EXPECT_EQ(a.at_s, b.at_s);
  EXPECT_EQ(a.size, b.size);
  EXPECT_EQ(a.q50_error_frac, b.q50_error_frac);
}

}  // namespace
}  // namespace leeward::sim
