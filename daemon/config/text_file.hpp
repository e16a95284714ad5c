#pragma once
/// Reading a small text file of ours, and refusing what no text file of ours looks like before any
/// parser sees it.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

inline constexpr std::size_t kMostFileBytes = 1'000'000;

/// The file's bytes. A device, pipe or directory is refused without being read.
/// Errors   no such file, no permission, not a regular file, larger than kMostFileBytes, and those of
///          check_text
[[nodiscard]] std::optional<std::string> read_text_file(const std::string& path, Findings& findings);

/// Whether the text may go to a parser: at most kMostFileBytes, UTF-8, no control byte but tab and
/// line end. The first offence is reported with its place.
[[nodiscard]] bool check_text(std::string_view text, Findings& findings);

}  // namespace leeward::daemon
