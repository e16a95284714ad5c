#pragma once
/// The picture of the run in letters: the planned staircase, and what was measured drawn into it.

#include <string>
#include <vector>

#include "daemon/live_view/watch_state.hpp"

namespace leeward::daemon {

/// A title, the picture with its scale at the left, and the time below.
/// @param height  lines in all, at least 5
/// @returns empty where nothing has been measured yet, or there is no room
[[nodiscard]] std::vector<std::string> staircase_plot(const WatchState& state, std::size_t width,
                                                      std::size_t height, bool is_unicode);

}  // namespace leeward::daemon
