#pragma once
/// The failure table in words.

#include <string>

namespace leeward::daemon {

/// One block a cause: how it is seen, after what delay, what is done, how it clears, what the crew is told.
[[nodiscard]] std::string failure_text();

}  // namespace leeward::daemon
