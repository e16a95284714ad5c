#pragma once
/// A test procedure as data. The files in config/procedures/ fill it; nothing else knows a standard.

#include <cstdint>

#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxStations = 24;
inline constexpr std::size_t kMaxChecks = 24;
inline constexpr std::size_t kMaxChecklist = 24;

/// What a validity check looks at; `low` and `high` of the check are its limits.
enum class CheckKind : std::uint8_t {
  baseline_sign_means,    ///< size of each sign-mean of the zero-flow pressure [Pa] <= high
  baseline_mean,          ///< size of each zero-flow mean [Pa] <= high
  baseline_duration,      ///< [s] >= low
  baseline_samples,       ///< count >= low
  station_count,          ///< >= low
  station_spacing,        ///< largest step between neighbouring stations [Pa] <= high
  lowest_station,         ///< lowest induced pressure [Pa] within low (rule: see low_factor) and high
  highest_station,        ///< highest induced pressure [Pa] within low and high
  station_average,        ///< shortest averaging time of a station [s] >= low
  exponent_range,         ///< low <= n <= high
  r2_min,                 ///< >= low
  wind_speed,             ///< reported wind [m/s] <= high
  stack_product,          ///< |indoor - outdoor| * height [m K] <= high
  both_directions,        ///< both directions measured
  single_point_pressure,  ///< |induced - reference| [Pa] <= high
  correlation_min,        ///< correlation coefficient of the logarithms >= low
  flow10_standard_error,  ///< standard error of the fitted flow at 10 Pa [%] <= high
  station_repeats,        ///< fewest measurements of one target >= low
  pressure_span,          ///< highest less lowest induced pressure [Pa] >= low
  station_off_target,     ///< largest |induced - target| [Pa] <= high
  directions_differ,      ///< |difference of the two flows at the reference| / their mean [%] <= high
  flow_calibration,       ///< expanded uncertainty (k = 2) of the flow's calibration [%] <= high
  outdoor_temperature     ///< [degrees C] within low and high
};
enum class Severity : std::uint8_t { invalid, deviation, advice };
/// Where the limit is known from: read in a named source, or recalled from memory.
enum class Mark : std::uint8_t { source, memory };
enum class DirectionRule : std::uint8_t { one, both, one_or_both };
enum class FitMethod : std::uint8_t { ols_loglog, fixed_exponent };

struct CheckSpec {
  CheckKind kind = CheckKind::station_count;
  bool has_low = false;
  bool has_high = false;
  double low = 0;
  double high = 0;
  double zero_flow_factor = 0;  ///< lowest_station only: limit is max(low, factor * |zero-flow sign-mean|)
  Severity severity = Severity::advice;
  FixedText<80> clause;  ///< number or name of the clause
  Mark mark = Mark::memory;
  FixedText<120> source;  ///< what was read, where mark is source
  bool operator==(const CheckSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("kind", &CheckSpec::kind);
    v("has_low", &CheckSpec::has_low);
    v("has_high", &CheckSpec::has_high);
    v("low", &CheckSpec::low);
    v("high", &CheckSpec::high);
    v("zero_flow_factor", &CheckSpec::zero_flow_factor);
    v("severity", &CheckSpec::severity);
    v("clause", &CheckSpec::clause);
    v("mark", &CheckSpec::mark);
    v("source", &CheckSpec::source);
  }
};

struct ProcedureSpec {
  Name id;
  FixedText<120> title;
  FixedText<120> standard;  ///< identifier and edition only
  DirectionRule directions = DirectionRule::one_or_both;
  double reference_pressure_pa = 50;
  // zero-flow pressure
  double baseline_s = 30;       ///< least length
  double baseline_most_s = 0;   ///< longer, up to here, until the mean is good enough; 0: never longer
  double baseline_se_pa = 0.1;  ///< standard error that is good enough
  int baseline_min_samples = 10;
  bool baseline_after = true;
  // look-round
  double look_round_pa = 10;
  double look_round_min_s = 10;
  double climb_rate_pa_s = 1;
  double pressure_max_pa = 75;
  // stations
  FixedVector<double, kMaxStations> stations_pa;  ///< induced sizes in the order of the test
  double station_tolerance_pa = 1;
  double station_settle_s = 5;
  double station_average_s = 20;   ///< least length
  double station_most_s = 0;       ///< as for the baseline
  double station_se_frac = 0.003;  ///< of the flow, that is good enough
  bool keep_speed = true;  ///< while a station is averaged the fan keeps its speed and does not chase gusts
  double station_max_wait_s = 60;  ///< then the station is taken as it is, or skipped when out of reach
  // fit and reference
  FitMethod fit = FitMethod::ols_loglog;
  double fixed_exponent = 0.65;
  double exponent_u = 0.06;  ///< standard uncertainty of an exponent that is assumed, absolute
  double confidence = 0.95;
  double reference_temperature_c = 20;
  double reference_pressure_abs_pa = 101325;
  bool viscosity_correction = false;
  FixedVector<CheckSpec, kMaxChecks> checks;
  FixedVector<Line, kMaxChecklist> checklist;
  FixedVector<Line, kMaxChecklist> restore;
  bool operator==(const ProcedureSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("id", &ProcedureSpec::id);
    v("title", &ProcedureSpec::title);
    v("standard", &ProcedureSpec::standard);
    v("directions", &ProcedureSpec::directions);
    v("reference_pressure_pa", &ProcedureSpec::reference_pressure_pa);
    v("baseline_s", &ProcedureSpec::baseline_s);
    v("baseline_most_s", &ProcedureSpec::baseline_most_s);
    v("baseline_se_pa", &ProcedureSpec::baseline_se_pa);
    v("baseline_min_samples", &ProcedureSpec::baseline_min_samples);
    v("baseline_after", &ProcedureSpec::baseline_after);
    v("look_round_pa", &ProcedureSpec::look_round_pa);
    v("look_round_min_s", &ProcedureSpec::look_round_min_s);
    v("climb_rate_pa_s", &ProcedureSpec::climb_rate_pa_s);
    v("pressure_max_pa", &ProcedureSpec::pressure_max_pa);
    v("stations_pa", &ProcedureSpec::stations_pa);
    v("station_tolerance_pa", &ProcedureSpec::station_tolerance_pa);
    v("station_settle_s", &ProcedureSpec::station_settle_s);
    v("station_average_s", &ProcedureSpec::station_average_s);
    v("station_most_s", &ProcedureSpec::station_most_s);
    v("station_se_frac", &ProcedureSpec::station_se_frac);
    v("keep_speed", &ProcedureSpec::keep_speed);
    v("station_max_wait_s", &ProcedureSpec::station_max_wait_s);
    v("fit", &ProcedureSpec::fit);
    v("fixed_exponent", &ProcedureSpec::fixed_exponent);
    v("exponent_u", &ProcedureSpec::exponent_u);
    v("confidence", &ProcedureSpec::confidence);
    v("reference_temperature_c", &ProcedureSpec::reference_temperature_c);
    v("reference_pressure_abs_pa", &ProcedureSpec::reference_pressure_abs_pa);
    v("viscosity_correction", &ProcedureSpec::viscosity_correction);
    v("checks", &ProcedureSpec::checks);
    v("checklist", &ProcedureSpec::checklist);
    v("restore", &ProcedureSpec::restore);
  }
};

}  // namespace leeward::control
