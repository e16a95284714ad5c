#pragma once
/// Looks for one change that began during a direction's stations: every block is a place where it may have
/// begun, and the gusts are estimated anew for each explanation, so that they can't hide it.

#include "control/analysis/change_lens.hpp"

namespace leeward::control {

/// One explanation of the direction, compared with no change at all.
struct ChangeHypothesis {
  bool looked_at = false;
  Change change;    ///< the likeliest place
  ChangeGain gain;  ///< there, at its gusts
  GustProcess gusts;
  double ln_evidence = 0;  ///< logarithm of the likelihood over that of no change, averaged over the places
  int station = -1;        ///< in which it began
  std::int64_t from_ns = 0;
  std::int64_t to_ns = 0;  ///< of one that passes
};

/// Of each kind one that lasts, then one that passes.
inline constexpr std::size_t kChangeHypotheses = 2 * kChangeKinds;
[[nodiscard]] constexpr std::size_t hypothesis_index(ChangeKind kind, bool passing) noexcept {
  return static_cast<std::size_t>(kind) + (passing ? kChangeKinds : 0);
}

struct ChangeSearch {
  bool ok = false;
  GustProcess gusts;  ///< without a change
  JointPoint at;
  std::array<ChangeHypothesis, kChangeHypotheses> hypotheses;
};

/// @param model  of a record with few blocks, see with_few_blocks()
/// @param at     the curve as fitted without a change
[[nodiscard]] ChangeSearch search_change(const JointModel& model, JointPoint at) noexcept;

}  // namespace leeward::control
