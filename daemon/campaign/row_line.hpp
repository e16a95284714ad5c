#pragma once
/// A run as a line that tells whether it is whole.

#include <optional>
#include <string>
#include <string_view>

#include "daemon/campaign/run_job.hpp"

namespace leeward::daemon {

/// A text behind its checksum, with a line end; the text must have none.
[[nodiscard]] std::string sealed_line(const std::string& text);
/// @param line  without its line end
/// @returns nullopt for a line that is torn or changed
[[nodiscard]] std::optional<std::string_view> opened_line(std::string_view line);

/// Numbers keep every bit; what is not finite comes back as NaN.
[[nodiscard]] std::string row_text(const RunRow& row);
[[nodiscard]] std::optional<RunRow> row_from_text(std::string_view text);

}  // namespace leeward::daemon
