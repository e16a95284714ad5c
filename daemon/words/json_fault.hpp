#pragma once
/// Where a JSON text is broken, in words.

#include <string>
#include <string_view>

namespace leeward::daemon {

/// "breaks off at its end, line 1, column 9" or "cannot be read at line 2, column 8, near `,`"
/// @param byte  the byte at which the parser gave up, counted from 1; beyond the text: it ended too early
[[nodiscard]] std::string json_fault_text(std::string_view text, std::size_t byte);

}  // namespace leeward::daemon
