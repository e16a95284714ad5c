#pragma once
/// The failure table in words.

#include <string>

namespace leeward::daemon {

/// One block a cause: how it is seen, after what delay, what is done, how it clears, what the crew is told.
[[nodiscard]] std::string failure_text();

/// The same as a table in Markdown, one line a cause.
[[nodiscard]] std::string failure_markdown();

}  // namespace leeward::daemon
