// Whether our 95 % intervals hold the truth 95 times in 100, on synthetic tests of a known house.

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "control/analysis/analyse.hpp"
#include "control/analysis/own_fit.hpp"

namespace leeward::control {
namespace {

/// Sizes of the errors of a synthetic test. Those of the record are the ones that the record states; limits
/// of an even distribution are drawn by the normal law of the same standard deviation, as the intervals take
/// them.
struct CoverageCase {
  double station_pa = 0.3;      ///< pressure scatter a station
  double flow_frac = 0.005;     ///< flow scatter a station
  double baseline_pa = 0.2;     ///< each zero-flow mean
  double drift_pa = 0;          ///< half-width of a true zero-flow change between both
  double calibration_frac = 0;  ///< of the restriction
  double gauge_frac = 0;        ///< largest error of the gauge's scale
  double unstated = 1;          ///< true scatter / stated scatter
  double lowest_pa = 15;
  bool both = false;
};

constexpr double kCoverageC = 0.04;
constexpr double kCoverageN = 0.65;

struct CoverageCount {
  int q_ref = 0, n = 0, ela4 = 0, runs = 0;
  [[nodiscard]] double share(int hits) const { return static_cast<double>(hits) / runs; }
};

BaselineRecord coverage_baseline(double mean_pa, double se_pa) {
  return {.taken = true, .mean_pa = mean_pa, .mean_se_pa = se_pa};
}

DirectionRecord coverage_direction(Direction d, const CoverageCase& c, double calibration, double gauge_scale,
                                   std::mt19937& rng) {
  std::normal_distribution<double> gauss;
  std::uniform_real_distribution<double> even(-1, 1);
  const double first_pa = -1;
  const double last_pa = first_pa + c.drift_pa * even(rng);
  const double during_pa = first_pa + (last_pa - first_pa) * 0.5 * (1 + even(rng));
  DirectionRecord record;
  record.direction = d;
  record.before = coverage_baseline(gauge_scale * first_pa + c.baseline_pa * gauss(rng), c.baseline_pa);
  record.after = coverage_baseline(gauge_scale * last_pa + c.baseline_pa * gauss(rng), c.baseline_pa);
  for (int i = 0; i < 8; ++i) {
    const double induced_pa = 60 + (c.lowest_pa - 60) * i / 7;
    const double flow = kCoverageC * std::pow(induced_pa, kCoverageN) * calibration;
    StationRecord s;
    s.pressure_mean_se_pa = c.station_pa;
    s.flow_mean_se_m3_s = c.flow_frac * flow;
    s.pressure_mean_pa =
        gauge_scale * (signed_pressure(d, induced_pa) + during_pa) + c.unstated * c.station_pa * gauss(rng);
    s.flow_mean_m3_s = flow * (1 + c.unstated * c.flow_frac * gauss(rng));
    s.flow_k_relative_u = c.calibration_frac;
    record.stations.push_back(s);
  }
  return record;
}

bool holds(const Interval& i, double truth) { return i.known && i.low <= truth && truth <= i.high; }

/// Air of the reference on both sides, its temperatures and pressure stated with their own errors.
ConditionsSpec coverage_conditions(std::mt19937& rng) {
  std::normal_distribution<double> gauss;
  return {.indoor_c = 20 + kTemperatureUK * gauss(rng),
          .outdoor_c = 20 + kTemperatureUK * gauss(rng),
          .indoor_rh_frac = 0,
          .outdoor_rh_frac = 0,
          .has_barometric = true,
          .barometric_pa = 101325 * (1 + kBarometerUFrac * gauss(rng))};
}

CoverageCount covered(const CoverageCase& c, unsigned seed) {
  std::mt19937 rng(seed);
  std::normal_distribution<double> gauss;
  const double q50 = kCoverageC * std::pow(50, kCoverageN);
  const double ela4 = kCoverageC * std::sqrt(1.2040975 / 2) * std::pow(4, kCoverageN - 0.5);
  CoverageCount count;
  for (count.runs = 0; count.runs < 10000; ++count.runs) {
    RunRecord run;
    run.conditions = coverage_conditions(rng);
    run.calibration_density_kg_m3 = 1.2040975;
    const double calibration = 1 + c.calibration_frac * gauss(rng);
    run.building_gauge_accuracy_frac = c.gauge_frac;
    const double gauge = c.gauge_frac > 0 ? 1 + c.gauge_frac / std::sqrt(3.0) * gauss(rng) : 1;
    run.directions.push_back(coverage_direction(Direction::depressurize, c, calibration, gauge, rng));
    if (c.both)
      run.directions.push_back(coverage_direction(Direction::pressurize, c, calibration, gauge, rng));
    const RunResult result = analyse(run);
    count.q_ref += holds(result.q_ref_m3_s, q50) ? 1 : 0;
    count.n += holds(result.n, kCoverageN) ? 1 : 0;
    count.ela4 += holds(result.ela4_m2, ela4) ? 1 : 0;
  }
  return count;
}

// 10000 runs show a share to 0.4 % at two standard deviations. The goal is 93 to 97 %; scatter that is scaled
// up and never down makes 95 % come out as up to 96.8 %.
void expect_true_intervals(const CoverageCase& c, unsigned seed) {
  const CoverageCount count = covered(c, seed);
  for (const int hits : {count.q_ref, count.n, count.ela4}) {
    EXPECT_GE(count.share(hits), 0.93);
    EXPECT_LE(count.share(hits), 0.97);
  }
  testing::Test::RecordProperty("q_ref", std::to_string(count.share(count.q_ref)));
  testing::Test::RecordProperty("n", std::to_string(count.share(count.n)));
  testing::Test::RecordProperty("ela4", std::to_string(count.share(count.ela4)));
}

TEST(AnalyseCoverage, HoldsInScatterAlone) { expect_true_intervals({.baseline_pa = 0.02}, 31); }

TEST(AnalyseCoverage, HoldsWithASharedZeroFlowError) { expect_true_intervals({.baseline_pa = 0.6}, 32); }

TEST(AnalyseCoverage, HoldsWithADriftingZeroFlowPressure) { expect_true_intervals({.drift_pa = 2}, 33); }

TEST(AnalyseCoverage, HoldsWithACalibrationError) { expect_true_intervals({.calibration_frac = 0.02}, 34); }

TEST(AnalyseCoverage, HoldsWithAGaugeOffItsScale) {
  expect_true_intervals({.gauge_frac = 0.01, .both = true}, 38);
}

TEST(AnalyseCoverage, HoldsInWind) {
  expect_true_intervals({.station_pa = 1.0, .baseline_pa = 0.7, .lowest_pa = 25}, 35);
}

TEST(AnalyseCoverage, HoldsForTheMeanOfBothDirections) {
  expect_true_intervals({.calibration_frac = 0.01, .both = true}, 36);
}

TEST(AnalyseCoverage, HoldsWhereTheStationsScatterMoreThanTheySay) {
  expect_true_intervals({.baseline_pa = 0.05, .unstated = 5}, 37);
}

}  // namespace
}  // namespace leeward::control
