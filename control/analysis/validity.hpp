#pragma once
/// The validity checks of a procedure, held against what was measured and fitted.

#include "control/analysis/run_result.hpp"

namespace leeward::control {

using Verdicts = FixedVector<Verdict, 2 * kMaxChecks>;

/// One verdict a check and direction; checks of the weather, the building and both directions give one with
/// direction -1.
///
/// Range    limits belong to what is allowed. A figure that is not a number fails. A check without the
///          figure it looks at (no reported wind, no height, a single station's spacing, the exponent of a
///          fixed-exponent fit) is not applicable. A zero-flow pressure that the procedure asks for and that
///          was not taken has 0 s and 0 samples.
///          Exponent and r2 are those of the procedure's own fit; stations that no fit can take count
///          nowhere.
[[nodiscard]] Verdicts check_validity(const RunRecord& run,
                                      const FixedVector<DirectionResult, 2>& directions) noexcept;

/// Whether a failed check makes the run invalid.
[[nodiscard]] bool any_invalidates(const ProcedureSpec& procedure, const Verdicts& verdicts) noexcept;

}  // namespace leeward::control
