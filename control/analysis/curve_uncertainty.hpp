#pragma once
/// How uncertain a curve ln q = ln C + n ln p is, kept by cause, so that what two directions share can
/// be added fully and what they do not share by squares.

#include <array>
#include <cmath>
#include <limits>

#include "control/analysis/run_result.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// A figure of the curve as weights of ln C and of n.
struct LinearForm {
  double ln_c = 0;
  double n = 0;
};
inline constexpr LinearForm kFormLnC{1, 0};
inline constexpr LinearForm kFormN{0, 1};
inline LinearForm form_ln_flow_at(double pressure_pa) { return {1, std::log(pressure_pa)}; }

/// What one standard deviation of one cause does to the curve, signed.
struct Effect {
  double ln_c = 0;
  double n = 0;
  [[nodiscard]] constexpr double on(LinearForm f) const { return f.ln_c * ln_c + f.n * n; }
};

struct Covariance {
  double cc = 0;
  double cn = 0;
  double nn = 0;
  [[nodiscard]] constexpr double of(LinearForm f) const {
    return f.ln_c * f.ln_c * cc + 2 * f.ln_c * f.n * cn + f.n * f.n * nn;
  }
};

/// The independent errors of the stations. They count as stated, and more where the stations scatter more.
struct Scatter {
  Covariance stated;
  double observed_ratio = 0;  ///< scatter that is seen / stated, as variances; 0 where none can be seen
  int degrees_of_freedom = 0;
  [[nodiscard]] double scale() const { return std::fmax(1.0, observed_ratio); }
  [[nodiscard]] double variance_of(LinearForm f) const { return scale() * std::fmax(0.0, stated.of(f)); }
};

/// Where a density may be wrong: the two temperatures and the barometric pressure.
inline constexpr std::size_t kDensityCauses = 3;

/// Zero-flow readings of one direction whose errors have nothing to do with each other.
inline constexpr std::size_t kZeroFlowCauses = 1 + kMaxKeptParts;

struct CurveUncertainty {
  Scatter scatter;
  std::array<Effect, 2 * kZeroFlowCauses> baseline{};  ///< one cause a direction and part
  std::array<Effect, kMaxRestrictions> calibration{};  ///< one cause a restriction
  Effect gauge;                                        ///< scale of the building pressure's gauge
  std::array<Effect, kDensityCauses> density{};
  std::array<Effect, 4> wind{};  ///< uneven load on the leaks: its mean, and its spread
  Effect exponent;               ///< of an assumed exponent
  /// Behind scatter and zero-flow error, where both come from one process whose size was estimated.
  double gust_freedom = std::numeric_limits<double>::infinity();
};

/// A curve with its uncertainty.
struct UncertainCurve {
  double ln_c = 0;  ///< of C in m3/(s Pa^n)
  double n = 0;
  CurveUncertainty u;
};

/// (ln C, n) after a linear change: ln C' = cc ln C + cn n; n' = nn n.
struct CurveMap {
  double cc = 1;
  double cn = 0;
  double nn = 1;
};
[[nodiscard]] CurveUncertainty mapped(const CurveUncertainty& u, CurveMap map) noexcept;

/// Sum of the two directions: shared causes added with their signs, zero-flow errors side by side, scatter by
/// squares with one ratio for both, since it comes from one rig in one wind.
[[nodiscard]] CurveUncertainty combined(const CurveUncertainty& a, const CurveUncertainty& b) noexcept;

/// Standard uncertainties of a figure by cause.
[[nodiscard]] Budget budget_of(const CurveUncertainty& u, LinearForm form) noexcept;

/// Half-width of the interval of a figure.
/// @param more_u  a further independent standard uncertainty, for example of the volume
/// Source  effective degrees of freedom by Welch and Satterthwaite (JCGM 100 G.4); of the squared variance of
///         the scatter only what goes beyond the stated one counts as estimated. So the factor goes over
///         smoothly from the normal law to Student's; the choice is ours, by simulated coverage.
[[nodiscard]] double half_width(const CurveUncertainty& u, LinearForm form, double confidence,
                                double more_u = 0) noexcept;

}  // namespace leeward::control
