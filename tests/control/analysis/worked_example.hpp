#pragma once
/// The worked example that several tests of the analysis hold their figures against: a house measured in both
/// directions, invented here; every expected figure was computed apart from this code, from the formulas
/// of ISO 9972 and ASTM E779 as the sources at the checks name them.

#include <gtest/gtest.h>

#include <cmath>
#include <initializer_list>

#include "control/analysis/run_result.hpp"

namespace leeward::control::worked_example {

inline BaselineRecord baseline(double mean_pa, double mean_se_pa, std::int64_t begin_ns) {
  constexpr std::int64_t half_minute_ns = 30'000'000'000;
  return {.taken = true,
          .begin_ns = begin_ns,
          .end_ns = begin_ns + half_minute_ns,
          .samples = 300,
          .mean_pa = mean_pa,
          .positive_mean_pa = 0,
          .negative_mean_pa = mean_pa,
          .sd_pa = 0.4,
          .mean_se_pa = mean_se_pa};
}

inline DirectionRecord direction(Direction d, double before_pa, double after_pa,
                                 std::initializer_list<double> measured_pa,
                                 std::initializer_list<double> read_m3_h) {
  DirectionRecord record;
  record.direction = d;
  record.before = baseline(before_pa, 0.1, 0);
  record.after = baseline(after_pa, 0.1, 600'000'000'000);
  const double* flow = read_m3_h.begin();
  for (const double pressure_pa : measured_pa) {
    StationRecord station;
    station.target_pa = along(d, pressure_pa);
    station.end_ns = 20'000'000'000;
    station.samples = 200;
    station.pressure_mean_pa = pressure_pa;
    station.pressure_mean_se_pa = 0.2;
    station.flow_mean_m3_s = *flow++ / 3600;
    station.flow_mean_se_m3_s = 0.003 * station.flow_mean_m3_s;
    station.flow_k_relative_u = 0.03;
    record.stations.push_back(station);
  }
  return record;
}

inline DirectionRecord depressurization() {
  return direction(Direction::depressurize, -1.74, -2.05,
                   {-61.8, -56.1, -51.5, -46.3, -41.7, -36.4, -31.9, -26.5, -21.6, -16.8},
                   {1742, 1646, 1541, 1432, 1330, 1214, 1097, 962, 818, 671});
}

inline DirectionRecord pressurization() {
  return direction(Direction::pressurize, -1.95, -1.66,
                   {58.6, 53.2, 48.4, 43.1, 38.5, 33.2, 28.6, 23.1, 18.4, 13.3},
                   {1768, 1655, 1566, 1449, 1357, 1227, 1119, 976, 847, 695});
}

inline RunRecord run() {
  RunRecord run;
  run.building.volume_m3 = 600;
  run.building.envelope_area_m2 = 550;
  run.building.floor_area_m2 = 240;
  run.building.height_m = 5.2;
  run.conditions = {.indoor_c = 21.0,
                    .outdoor_c = 3.0,
                    .indoor_rh_frac = 0.4,
                    .outdoor_rh_frac = 0.8,
                    .has_barometric = true,
                    .barometric_pa = 98500};
  run.procedure.stations_pa.push_back(60);
  for (int i = 1; i < 10; ++i) run.procedure.stations_pa.push_back(60 - 5 * i);
  run.directions.push_back(depressurization());
  run.directions.push_back(pressurization());
  return run;
}

inline CheckSpec check_of(CheckKind kind) {
  CheckSpec check;
  check.kind = kind;
  return check;
}

inline CheckSpec at_least(CheckKind kind, double low) {
  CheckSpec check = check_of(kind);
  check.has_low = true;
  check.low = low;
  return check;
}

/// The run with one of its directions only.
inline RunRecord run_of(const DirectionRecord& only) {
  RunRecord one = run();
  one.directions.clear();
  one.directions.push_back(only);
  return one;
}

inline double in_m3_h(double m3_s) { return 3600 * m3_s; }

inline void expect_relative(double value, double expected, double tolerance) {
  EXPECT_NEAR(value / expected, 1, tolerance) << value << " against " << expected;
}

inline void expect_inside(const Interval& i) {
  ASSERT_TRUE(i.known);
  EXPECT_TRUE(std::isfinite(i.value) && std::isfinite(i.low) && std::isfinite(i.high));
  EXPECT_LT(i.low, i.value);
  EXPECT_LT(i.value, i.high);
}

inline double relative_half_width(const Interval& i) { return 0.5 * std::log(i.high / i.low); }

}  // namespace leeward::control::worked_example
