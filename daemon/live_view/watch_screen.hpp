#pragma once
/// The live view as lines: a pure function of what is known and of the room there is.

#include <string>
#include <vector>

#include "daemon/live_view/watch_state.hpp"

namespace leeward::daemon {

/// How a line stands out; its words say the same, for a screen that shows no difference.
enum class Look { plain, strong, faint, asked, alert };

struct ScreenLine {
  std::string text;
  Look look = Look::plain;
};

struct ScreenStyle {
  bool is_unicode = true;
  /// What another terminal must give to find the same daemon, such as " --socket S".
  std::string target_options;
};

/// @returns at most `height` lines of at most `width` letters
[[nodiscard]] std::vector<ScreenLine> watch_screen(const WatchState& state, std::size_t width,
                                                   std::size_t height, const ScreenStyle& style);

}  // namespace leeward::daemon
