#pragma once
/// The questions that a diagnosis asks, one a file. Each appends what it finds.

#include <array>
#include <cstddef>

#include "control/analysis/finding.hpp"
#include "control/analysis/run_result.hpp"

namespace leeward::control {

// In the order in which they are asked: behind an answer, later ones are not to be trusted.

/// Sizes of the building and the barometer against each other.
void find_wrong_inputs(const RunRecord& record, Findings& out) noexcept;
/// Pressure of the wrong sign; no fan-side signal, or another zero of it before and after.
void find_lost_readings(const RunRecord& record, Findings& out) noexcept;
/// Pressure that lags behind the flow while the fan moves.
/// @param least_moves  during so many from one on to the last: what comes and goes lasts for one or two
void find_kinked_tube(const RunRecord& record, std::size_t least_moves, Findings& out) noexcept;
/// Jumps of the flow where the restriction changes; the flow that the fan's curve allows.
void find_wrong_restriction(const RunRecord& record, Findings& out) noexcept;
/// What each direction's stations say of a change that is a good part of the leaks.
struct LargeCandidate {
  bool found = false;
  bool backed_by_closing = false;  ///< the closing zero-flow reading shows it too
  Finding finding;
};
using LargeCandidates = std::array<LargeCandidate, 2>;
[[nodiscard]] LargeCandidates large_candidates(const RunRecord& record) noexcept;
/// The same as find_changes(), from these.
/// @param backed_by_closing  only what the closing zero-flow reading confirms, so that no restriction
/// explains it
void find_large_changes(const LargeCandidates& candidates, bool backed_by_closing, Findings& out) noexcept;
/// An opening, a seal, a fan, a shift of the zero-flow pressure that began during the stations.
void find_changes(const RunRecord& record, const RunResult& result, Findings& out) noexcept;
/// Zero-flow pressure before and after.
void find_zero_flow_drift(const RunRecord& record, Findings& out) noexcept;
/// Wind that moves the pressure reading alone: at the outdoor tube's end or at the fan.
void find_unshared_wind(const RunRecord& record, Findings& out) noexcept;
/// Exponents of the two directions.
void find_exponent_shift(const RunResult& result, Findings& out) noexcept;

/// Whether something that began during the stations of a direction has been found.
[[nodiscard]] bool has_change(const Findings& findings, int direction) noexcept;
[[nodiscard]] bool has_finding(const Findings& findings, FindingKind kind, int direction) noexcept;

}  // namespace leeward::control
