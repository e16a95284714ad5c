#pragma once
/// Columns and paragraphs that fit into 80 characters of a terminal. Widths count UTF-8 letters, not bytes.

#include <cstddef>
#include <string>
#include <string_view>

namespace leeward::daemon {

inline constexpr std::size_t kTextWidth = 80;

/// The text in a column of this width, at its left or right end; longer text stays whole.
[[nodiscard]] std::string left_in(std::string_view text, std::size_t width);
[[nodiscard]] std::string right_in(std::string_view text, std::size_t width);

/// Breaks at blanks so that no line is longer than kTextWidth; the first line begins with `first`, the others
/// with as many blanks. Ends with a line feed.
[[nodiscard]] std::string wrapped(std::string_view first, std::string_view text);

}  // namespace leeward::daemon
