#pragma once
/// Text for a screen of a given width. Widths count UTF-8 letters, not bytes.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace leeward::daemon {

[[nodiscard]] std::size_t letters_in(std::string_view text);

/// Without control characters: names come from files and the network, and must not command a terminal.
[[nodiscard]] std::string harmless(std::string_view text);

/// The first `width` letters.
[[nodiscard]] std::string cut_to(std::string_view text, std::size_t width);

/// Lines of at most `width` letters, broken at blanks; a longer word is broken itself. At most `most` lines:
/// the last one then ends with "..".
[[nodiscard]] std::vector<std::string> lines_of(std::string_view text, std::size_t width, std::size_t most);

/// As many of the parts, from the first on, as fit in one line, with ", " between them.
[[nodiscard]] std::string as_many_as_fit(const std::vector<std::string>& parts, std::size_t width);

}  // namespace leeward::daemon
