#pragma once

#include <filesystem>

#include "control/result.hpp"
#include "daemon/campaign/summary.hpp"

namespace leeward::daemon {

/// summary.json, runs.csv and plots.svg; each replaces the last one at once, or not at all.
/// Errors   io
[[nodiscard]] control::Result<void> write_campaign(const std::filesystem::path& folder,
                                                   const Summary& summary, const Rows& rows);

/// Puts the results of all shards of a campaign together.
/// Errors   those of reading; conflict where they are not of one campaign; missing_key where runs are missing
[[nodiscard]] control::Result<StoredResults> merged(const std::vector<std::string>& folders);

/// Tells one build of the running program from another.
[[nodiscard]] std::string program_mark();

}  // namespace leeward::daemon
