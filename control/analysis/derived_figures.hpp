#pragma once
/// The figures that codes and registers ask for, from a curve and the sizes of the building.

#include "control/analysis/curve_uncertainty.hpp"
#include "control/units.hpp"

namespace leeward::control {

struct FigureBasis {
  Density air;  ///< of the curve
  double confidence = 0.95;
};

/// Fills flows per size at the procedure's reference pressure and at 50 Pa, and the leakage areas with what
/// is derived from them.
/// Range    a figure whose size is not known stays not known; the uncertainty of the volume is counted,
///          areas and height are taken as exact
void set_derived(RunResult& result, const UncertainCurve& curve, const RunRecord& run,
                 FigureBasis basis) noexcept;

}  // namespace leeward::control
