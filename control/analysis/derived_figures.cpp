#include "control/analysis/derived_figures.hpp"

#include "control/analysis/intervals.hpp"
#include "control/analysis/metrics.hpp"

namespace leeward::control {

namespace {

struct Figures {
  const UncertainCurve& curve;
  FigureBasis basis;

  [[nodiscard]] Interval flow_per(double pressure_pa, double size, double u_frac = 0) const {
    if (!(size > 0)) return {};
    return flow_interval(curve, pressure_pa, basis.confidence, hourly_flow_per(m3_per_s(1), size), u_frac);
  }
  /// @param factor  0 where a size is not known
  [[nodiscard]] Interval area(double pressure_pa, double discharge_coefficient, double factor = 1) const {
    if (!(factor > 0)) return {};
    const double area_of_unit_flow =
        leakage_area_m2(m3_per_s(1), pascals(pressure_pa), basis.air, discharge_coefficient);
    return flow_interval(curve, pressure_pa, basis.confidence, factor * area_of_unit_flow);
  }
};

SpecificFlows specific_flows(const Figures& figures, double pressure_pa, const BuildingSpec& b) {
  return {figures.flow_per(pressure_pa, b.volume_m3, b.volume_relative_u),
          figures.flow_per(pressure_pa, b.envelope_area_m2), figures.flow_per(pressure_pa, b.floor_area_m2)};
}

double per(double numerator, double size) { return size > 0 ? numerator / size : 0; }

double leakage_factor(const BuildingSpec& b, double exponent) {
  const bool known = b.floor_area_m2 > 0 && b.height_m > 0;
  return known ? normalized_leakage(1, b.floor_area_m2, b.height_m, exponent) : 0;
}

}  // namespace

void set_derived(RunResult& result, const UncertainCurve& curve, const RunRecord& run,
                 FigureBasis basis) noexcept {
  constexpr double headline_pa = 50;
  constexpr double cm2_per_m2 = 1e4;
  const Figures figures{curve, basis};
  const BuildingSpec& b = run.building;
  const SpecificFlows at_reference = specific_flows(figures, run.procedure.reference_pressure_pa, b);
  result.n50_per_h = at_reference.n_per_h;
  result.qe_m3_h_m2 = at_reference.qe_m3_h_m2;
  result.qf_m3_h_m2 = at_reference.qf_m3_h_m2;
  result.at_50_pa = specific_flows(figures, headline_pa, b);
  result.q4_loss_m3_h_m2 = figures.flow_per(kEla4Pa, b.loss_area_m2);
  result.ela4_m2 = figures.area(kEla4Pa, kEla4DischargeCoefficient);
  result.ela10_m2 = figures.area(kEqla10Pa, kEla4DischargeCoefficient);
  result.eqla10_m2 = figures.area(kEqla10Pa, kEqla10DischargeCoefficient);
  result.specific_leakage_cm2_m2 =
      figures.area(kEla4Pa, kEla4DischargeCoefficient, per(cm2_per_m2, b.floor_area_m2));
  result.normalized_leakage_03 = figures.area(kEla4Pa, kEla4DischargeCoefficient, leakage_factor(b, 0.3));
  result.normalized_leakage_04 = figures.area(kEla4Pa, kEla4DischargeCoefficient, leakage_factor(b, 0.4));
  result.normalized_leakage_cm2_m2 =
      figures.area(kEqla10Pa, kEqla10DischargeCoefficient, per(cm2_per_m2, b.envelope_area_m2));
}

}  // namespace leeward::control
