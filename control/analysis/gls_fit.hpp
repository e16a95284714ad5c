#pragma once
/// Our own fit: generalized least squares of ln q = ln C + n ln p, with errors of pressure and flow at each
/// station, one zero-flow error that all stations share, and one scale error a restriction.

#include <optional>

#include "control/analysis/curve_uncertainty.hpp"

namespace leeward::control {

/// A station with its independent standard uncertainties; scale errors are shared within a restriction.
/// Range   pressure and flow above 0; a restriction outside 0 to kMaxRestrictions - 1 counts as the nearest
struct GlsPoint {
  double pressure_pa = 0;  ///< induced, size
  double flow_m3_s = 0;
  double u_pressure_pa = 0;
  double u_flow_frac = 0;
  int restriction = 0;
  double u_scale_frac = 0;
  int part = 0;               ///< stations of one part share their zero-flow error
  double u_part_zero_pa = 0;  ///< of a part that was kept; part 0 takes that of the fit
};
using GlsPoints = FixedVector<GlsPoint, kMaxStations>;

/// An exponent that is not fitted but taken, with its standard uncertainty.
struct AssumedExponent {
  double n = 0.65;
  double u = 0;
};

struct GlsFit {
  bool ok = false;
  UncertainCurve curve;
  int degrees_of_freedom = 0;
  double chi2_reduced = 0;   ///< with the uncertainties as given; 0 without degrees of freedom
  double scatter_scale = 1;  ///< factor on the independent variances that brings chi2_reduced down to 1
};

/// @param u_baseline_pa  standard uncertainty of the zero-flow pressure, shared by all points of part 0
/// @param assumed        keeps the exponent and fits C alone
/// Errors   not ok: fewer points than figures to fit, all pressures equal, nothing uncertain, not finite
/// Source   effective variance for the pressure errors; the covariance of shared errors as in GUM (JCGM 100)
/// F.1;
///          independent variances scaled up, never down, until chi-square meets its degrees of freedom
[[nodiscard]] GlsFit gls_fit(const GlsPoints& points, double u_baseline_pa,
                             std::optional<AssumedExponent> assumed = std::nullopt) noexcept;

}  // namespace leeward::control
