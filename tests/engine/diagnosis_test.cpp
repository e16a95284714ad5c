// The diagnosis through the whole engine, on a few random houses of fixed seeds. How often in many:
// tests/campaign/diagnosis_campaign.cpp.
#include <gtest/gtest.h>

#include "tests/engine/diagnosis_cases.hpp"

namespace leeward::bench {
namespace {

DiagnosisCase staged_case(Mishap mishap, int i, double wind_m_s) {
  return {.seed = 700'000 + static_cast<std::uint64_t>(i),
          .wind_m_s = wind_m_s,
          .mishap = mishap,
          .adaptive = i % 2 == 1,
          .direction = static_cast<control::DirectionChoice>(i / 2 % 3)};
}

bool named_rightly(const DiagnosisRun& run, Mishap mishap) {
  return std::any_of(run.result.findings.begin(), run.result.findings.end(),
                     [&](const control::Finding& f) { return names(f, mishap); });
}

struct Expected {
  Mishap mishap;
  double wind_m_s;
  int at_least;  ///< of 12 runs; without those in which it could not happen
};

class DiagnosisOfRuns : public testing::TestWithParam<Expected> {};

TEST_P(DiagnosisOfRuns, NamesWhatWasStaged) {
  const Expected e = GetParam();
  int found = 0;
  for (int i = 0; i < 12; ++i) {
    const DiagnosisRun run = DiagnosisStage(staged_case(e.mishap, i, e.wind_m_s)).run();
    found += run.ended && run.happened && named_rightly(run, e.mishap);
  }
  EXPECT_GE(found, e.at_least) << kMishapNames[static_cast<std::size_t>(e.mishap)];
}

// Some of the houses are too tight for the fan's gauge, and few ask for another restriction on the way.
INSTANTIATE_TEST_SUITE_P(
    Engine, DiagnosisOfRuns,
    testing::Values(Expected{Mishap::opening, 1, 10}, Expected{Mishap::seal_off, 0, 9},
                    Expected{Mishap::exhaust_fan, 1, 10}, Expected{Mishap::wrong_fit, 0, 4},
                    Expected{Mishap::drift_step, 1, 11}, Expected{Mishap::drift_ramp, 1, 11},
                    Expected{Mishap::tap_in_wind, 5, 7}, Expected{Mishap::high_barometer, 3, 12},
                    Expected{Mishap::wrong_volume, 3, 12}));

// In sizes that do not depend on the house, most of them are a good part of its leaks.
TEST(DiagnosisOfRuns, NamesWhatIsMetInItsNaturalSize) {
  for (const Mishap mishap : {Mishap::opening, Mishap::exhaust_fan, Mishap::water_in_tube, Mishap::kinked}) {
    int told = 0;
    for (int i = 0; i < 12; ++i) {
      DiagnosisCase natural = staged_case(mishap, i, 1);
      natural.natural = true;
      const DiagnosisRun run = DiagnosisStage(natural).run();
      told += run.ended ? named_rightly(run, mishap) || run.out_of_reach : run.trip.active();
    }
    EXPECT_GE(told, mishap == Mishap::kinked ? 7 : 9) << kMishapNames[static_cast<std::size_t>(mishap)];
  }
}

// One in 200 is accused in light winds; the seeds are as they come.
TEST(DiagnosisOfRuns, HardlyEverAccusesWhereNothingHappened) {
  int accused = 0;
  for (int i = 0; i < 60; ++i) {
    const DiagnosisRun run = DiagnosisStage(staged_case(Mishap::none, i, 1.5 * (i % 4))).run();
    ASSERT_TRUE(run.ended) << i;
    accused += !run.result.findings.empty();
  }
  EXPECT_LE(accused, 1);
}

}  // namespace
}  // namespace leeward::bench
