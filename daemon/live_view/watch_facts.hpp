#pragma once
/// The figures of the live view, each in a line with its name.

#include <string>
#include <vector>

#include "daemon/live_view/watch_state.hpp"

namespace leeward::daemon {

/// How restless a pressure is, in words; empty where it is not known.
[[nodiscard]] std::string steadiness_word(double unrest_pa);

/// The most important first; a narrow screen gets fewer words of each.
[[nodiscard]] std::vector<std::string> fact_lines(const WatchState& state, std::size_t width);

}  // namespace leeward::daemon
