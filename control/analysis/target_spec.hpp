#pragma once
/// A limit of a code or programme as data. The files in config/targets/ fill it.

#include <cstdint>

#include "control/fixed_text.hpp"
#include "control/procedure/procedure_spec.hpp"

namespace leeward::control {

/// What is limited. Each figure is known in the unit named here.
enum class TargetMetric : std::uint8_t {
  n50,             ///< air changes at 50 Pa [1/h]
  qe50,            ///< flow at 50 Pa per envelope area [m3/(h m2)]
  qf50,            ///< per floor area
  qe75,            ///< flow at 75 Pa per envelope area
  qe4,             ///< flow at 4 Pa per envelope area
  q4_loss,         ///< flow at 4 Pa per heat-loss area without the lowest floor
  normalized_area  ///< equivalent leakage area at 10 Pa per envelope area [cm2/m2]
};

/// The unit that the code states its limit in.
enum class TargetUnit : std::uint8_t { per_h, m3_h_m2, cfm_ft2, l_s_m2, cm2_m2 };

struct TargetSpec {
  Name id;
  FixedText<120> title;
  FixedText<120> programme;
  FixedText<48> edition;
  TargetMetric metric = TargetMetric::n50;
  TargetUnit unit = TargetUnit::per_h;
  double limit = 0;                       ///< in that unit
  FixedText<120> per;                     ///< how the programme defines the volume or area
  double one_point_factor = 1;            ///< on a figure whose exponent was assumed
  double add_uncertainty_above_frac = 0;  ///< a relative half-width beyond it is added; 0: never
  Mark mark = Mark::memory;
  FixedText<120> source;
  bool operator==(const TargetSpec&) const = default;
};

/// Whether a limit on this metric can be stated in this unit.
[[nodiscard]] bool unit_fits(TargetMetric metric, TargetUnit unit) noexcept;

}  // namespace leeward::control
