#pragma once
/// What the log-log picture and the one of the residuals have in common.

#include <vector>

#include "control/analysis/run_result.hpp"
#include "daemon/document/axis.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

/// A station that stands on a logarithmic axis.
struct CurvePoint {
  double pressure_pa = 0;
  double flow_m3_s = 0;  ///< at the air of the curve
  double residual = 0;   ///< ln(flow / curve)
};

/// Flow of a curve with the limits of its interval.
struct CurveFlow {
  double value = 0;
  double low = 0;
  double high = 0;
};

/// Stations as they lie about our curve, which is stated at standard air: the curve's flow times the
/// residual.
[[nodiscard]] std::vector<CurvePoint> points_of(const control::DirectionResult& direction);

/// @returns all zero where the curve is not known
[[nodiscard]] CurveFlow flow_at(const control::FitResult& fit, double reference_pa, double pressure_pa);

/// From the lowest pressure of any station to the highest, the reference pressure included.
[[nodiscard]] Axis curve_pressure_axis(const ReportData& data);

[[nodiscard]] inline Marker marker_of(control::Direction direction) {
  return direction == control::Direction::depressurize ? Marker::disc : Marker::square;
}
[[nodiscard]] inline Stroke stroke_of(control::Direction direction) {
  return direction == control::Direction::depressurize ? Stroke{0.9, 0, 0} : Stroke{0.9, 0, 3};
}

}  // namespace leeward::daemon
