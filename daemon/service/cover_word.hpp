#pragma once
/// Whether anybody has said how a fan's cover is. The engine itself counts a fan as uncovered until it is
/// told otherwise, so its "no" alone does not tell "off" from "nobody knows".

#include <array>

#include "control/engine_state.hpp"
#include "control/event.hpp"

namespace leeward::daemon {

using OpenAsks = control::FixedVector<control::Ask, control::kMaxAsks>;

class CoverWord {
 public:
  /// @param asks   as they stood before the tick
  /// @param after  the engine's state after the tick
  void follow(const control::Events& events, const OpenAsks& asks, const control::EngineState& after);
  [[nodiscard]] const std::array<bool, control::kMaxFans>& is_told() const { return is_told_; }

 private:
  std::array<bool, control::kMaxFans> is_told_{};
};

}  // namespace leeward::daemon
