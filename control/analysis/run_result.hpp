#pragma once
/// What a run states. Every figure carries its interval; SI inside, conversions at the faces.

#include <cstdint>

#include "control/analysis/finding.hpp"
#include "control/analysis/run_record.hpp"

namespace leeward::control {

/// A value and its 95 % interval. `known` is false where the data or the building do not give it.
/// `upper` is the one-sided bound of the same confidence, for "not above a limit": lower than `high`.
struct Interval {
  bool known = false;
  double value = 0;
  double low = 0;
  double high = 0;
  double upper = 0;
  bool operator==(const Interval&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("known", &Interval::known);
    v("value", &Interval::value);
    v("low", &Interval::low);
    v("high", &Interval::high);
    v("upper", &Interval::upper);
  }
};

/// Flows of a curve at the pressures that codes and metrics ask for, wherever the stations were.
struct FlowsAt {
  Interval q4_m3_s;
  Interval q10_m3_s;
  Interval q50_m3_s;
  Interval q75_m3_s;
  bool operator==(const FlowsAt&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("q4_m3_s", &FlowsAt::q4_m3_s);
    v("q10_m3_s", &FlowsAt::q10_m3_s);
    v("q50_m3_s", &FlowsAt::q50_m3_s);
    v("q75_m3_s", &FlowsAt::q75_m3_s);
  }
};

/// Flow per size of the building; not known where the size is not.
struct SpecificFlows {
  Interval n_per_h;     ///< air changes
  Interval qe_m3_h_m2;  ///< per envelope area
  Interval qf_m3_h_m2;  ///< per floor area
  bool operator==(const SpecificFlows&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("n_per_h", &SpecificFlows::n_per_h);
    v("qe_m3_h_m2", &SpecificFlows::qe_m3_h_m2);
    v("qf_m3_h_m2", &SpecificFlows::qf_m3_h_m2);
  }
};

/// A curve q = C dp^n with its intervals, C at the density named by its owner.
struct FitResult {
  bool valid = false;
  Interval c_m3_s_pan;
  Interval n;
  Interval q_ref_m3_s;  ///< flow at the procedure's reference pressure
  FlowsAt flows;
  double r2 = 0;
  double residual_s = 0;  ///< relative scatter of flow about the line
  int degrees_of_freedom = 0;
  bool operator==(const FitResult&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("valid", &FitResult::valid);
    v("c_m3_s_pan", &FitResult::c_m3_s_pan);
    v("n", &FitResult::n);
    v("q_ref_m3_s", &FitResult::q_ref_m3_s);
    v("flows", &FitResult::flows);
    v("r2", &FitResult::r2);
    v("residual_s", &FitResult::residual_s);
    v("degrees_of_freedom", &FitResult::degrees_of_freedom);
  }
};

/// One station after zero-flow and density correction.
struct StationResult {
  double target_pa = 0;
  double measured_pa = 0;     ///< signed
  double induced_pa = 0;      ///< size
  double flow_read_m3_s = 0;  ///< as read, calibration density
  double flow_m3_s = 0;       ///< through the envelope, at the density of the air entering the leaks
  double signal_pa = 0;
  double demand_frac = 0;
  int restriction = 0;
  double residual = 0;  ///< ln(flow / fitted flow), our own fit
  bool signal_in_range = true;
  bool settled = true;
  int part = 0;  ///< see StationRecord
  bool operator==(const StationResult&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("target_pa", &StationResult::target_pa);
    v("measured_pa", &StationResult::measured_pa);
    v("induced_pa", &StationResult::induced_pa);
    v("flow_read_m3_s", &StationResult::flow_read_m3_s);
    v("flow_m3_s", &StationResult::flow_m3_s);
    v("signal_pa", &StationResult::signal_pa);
    v("demand_frac", &StationResult::demand_frac);
    v("restriction", &StationResult::restriction);
    v("residual", &StationResult::residual);
    v("signal_in_range", &StationResult::signal_in_range);
    v("settled", &StationResult::settled);
    v("part", &StationResult::part);
  }
};

enum class CheckOutcome : std::uint8_t { passed, failed, not_applicable };

/// A validity check with what was seen. The procedure's CheckSpec of the same index holds the limits.
struct Verdict {
  int check = 0;      ///< index into procedure.checks
  int direction = 0;  ///< index into directions, -1 for the whole run
  CheckOutcome outcome = CheckOutcome::not_applicable;
  double seen = 0;   ///< the figure that was compared, in the check's unit
  double limit = 0;  ///< the limit it was compared with (the nearer one of two)
  bool operator==(const Verdict&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("check", &Verdict::check);
    v("direction", &Verdict::direction);
    v("outcome", &Verdict::outcome);
    v("seen", &Verdict::seen);
    v("limit", &Verdict::limit);
  }
};

/// Where the width of our interval of q_ref comes from: relative standard uncertainties.
struct Budget {
  double scatter = 0;
  double baseline = 0;
  double calibration = 0;  ///< of the fan
  double gauge = 0;        ///< scale of the building pressure's gauge
  double density = 0;
  double wind = 0;      ///< uneven load of wind and stack on the leaks
  double exponent = 0;  ///< of an assumed exponent, or of the extrapolation to the reference pressure
  double total = 0;
  bool operator==(const Budget&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("scatter", &Budget::scatter);
    v("baseline", &Budget::baseline);
    v("calibration", &Budget::calibration);
    v("gauge", &Budget::gauge);
    v("density", &Budget::density);
    v("wind", &Budget::wind);
    v("exponent", &Budget::exponent);
    v("total", &Budget::total);
  }
};

struct DirectionResult {
  Direction direction = Direction::depressurize;
  double zero_flow_pa = 0;    ///< correction that was subtracted, signed
  double zero_flow_u_pa = 0;  ///< its standard uncertainty, shared by all stations
  double density_indoor_kg_m3 = 0;
  double density_outdoor_kg_m3 = 0;
  double meter_factor = 1;      ///< sqrt(rho_cal / rho_fan)
  double leak_factor = 1;       ///< rho_fan / rho_leak
  double reference_factor = 1;  ///< C at reference air / C at the leak's air
  FixedVector<StationResult, kMaxStations> stations;
  FitResult standard_env;  ///< the procedure's own fit, at the leak's air
  FitResult standard;      ///< the same at reference air
  FitResult own;           ///< our estimate with its full interval, at reference air
  /// The same where nothing is believed of the exponent beforehand; not known where the data can't carry it.
  Interval n_by_data;
  Interval q_ref_by_data_m3_s;
  double gust_sd_pa = 0;  ///< of the zero-flow pressure, as the fit sees it
  double gust_time_s = 0;
  Budget budget;
  double highest_pa = 0;  ///< highest induced station; below the reference pressure = extrapolated
  bool extrapolated = false;
  bool operator==(const DirectionResult&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("direction", &DirectionResult::direction);
    v("zero_flow_pa", &DirectionResult::zero_flow_pa);
    v("zero_flow_u_pa", &DirectionResult::zero_flow_u_pa);
    v("density_indoor_kg_m3", &DirectionResult::density_indoor_kg_m3);
    v("density_outdoor_kg_m3", &DirectionResult::density_outdoor_kg_m3);
    v("meter_factor", &DirectionResult::meter_factor);
    v("leak_factor", &DirectionResult::leak_factor);
    v("reference_factor", &DirectionResult::reference_factor);
    v("stations", &DirectionResult::stations);
    v("standard_env", &DirectionResult::standard_env);
    v("standard", &DirectionResult::standard);
    v("own", &DirectionResult::own);
    v("n_by_data", &DirectionResult::n_by_data);
    v("q_ref_by_data_m3_s", &DirectionResult::q_ref_by_data_m3_s);
    v("gust_sd_pa", &DirectionResult::gust_sd_pa);
    v("gust_time_s", &DirectionResult::gust_time_s);
    v("budget", &DirectionResult::budget);
    v("highest_pa", &DirectionResult::highest_pa);
    v("extrapolated", &DirectionResult::extrapolated);
  }
};

struct RunResult {
  bool computed = false;  ///< false: not enough stations for any figure
  bool valid = false;     ///< no failed check of severity `invalid`
  FixedVector<DirectionResult, 2> directions;
  // our estimate with its full interval, reference air; for both directions q and n50 are the mean
  Interval q_ref_m3_s;
  Interval n50_per_h;   ///< air changes at the reference pressure
  Interval qe_m3_h_m2;  ///< per envelope area
  Interval qf_m3_h_m2;  ///< per floor area
  Interval c_m3_s_pan;  ///< of the first direction; of both: the mean curve
  Interval n;
  FlowsAt flows;
  SpecificFlows at_50_pa;
  Interval q4_loss_m3_h_m2;            ///< flow at 4 Pa per heat-loss area without the lowest floor
  Interval ela4_m2;                    ///< effective leakage area at 4 Pa, discharge coefficient 1
  Interval ela10_m2;                   ///< the same at 10 Pa
  Interval eqla10_m2;                  ///< equivalent leakage area at 10 Pa, discharge coefficient 0.611
  Interval specific_leakage_cm2_m2;    ///< ELA4 per floor area
  Interval normalized_leakage_03;      ///< of ELA4, floor area and height, this to the power 0.3
  Interval normalized_leakage_04;      ///< the same with 0.4
  Interval normalized_leakage_cm2_m2;  ///< EqLA10 per envelope area
  double r2 = 0;                       ///< lowest of the directions
  Budget budget;
  double wind_bound_frac = 0;  ///< of q_ref, how far a steady wind as reported can shift it; 0: none reported
  FixedVector<Verdict, 2 * kMaxChecks> verdicts;
  Findings findings;  ///< of the diagnosis
  bool operator==(const RunResult&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("computed", &RunResult::computed);
    v("valid", &RunResult::valid);
    v("directions", &RunResult::directions);
    v("q_ref_m3_s", &RunResult::q_ref_m3_s);
    v("n50_per_h", &RunResult::n50_per_h);
    v("qe_m3_h_m2", &RunResult::qe_m3_h_m2);
    v("qf_m3_h_m2", &RunResult::qf_m3_h_m2);
    v("c_m3_s_pan", &RunResult::c_m3_s_pan);
    v("n", &RunResult::n);
    v("flows", &RunResult::flows);
    v("at_50_pa", &RunResult::at_50_pa);
    v("q4_loss_m3_h_m2", &RunResult::q4_loss_m3_h_m2);
    v("ela4_m2", &RunResult::ela4_m2);
    v("ela10_m2", &RunResult::ela10_m2);
    v("eqla10_m2", &RunResult::eqla10_m2);
    v("specific_leakage_cm2_m2", &RunResult::specific_leakage_cm2_m2);
    v("normalized_leakage_03", &RunResult::normalized_leakage_03);
    v("normalized_leakage_04", &RunResult::normalized_leakage_04);
    v("normalized_leakage_cm2_m2", &RunResult::normalized_leakage_cm2_m2);
    v("r2", &RunResult::r2);
    v("budget", &RunResult::budget);
    v("wind_bound_frac", &RunResult::wind_bound_frac);
    v("verdicts", &RunResult::verdicts);
    v("findings", &RunResult::findings);
  }
};

}  // namespace leeward::control
