#pragma once
/// A recording of a run that did not come to its end, as what can be gone on with.

#include <cstdint>
#include <filesystem>

#include "control/procedure/take_up_rule.hpp"
#include "control/result.hpp"

namespace leeward::daemon {

struct BrokenOff {
  control::BrokenOffRun run;
  std::int64_t end_unix_ms = 0;  ///< calendar time of its last reading
};

/// Errors   those of the reader
[[nodiscard]] control::Result<BrokenOff> read_broken_off(const std::filesystem::path& recording);

/// Takes what a cut left in the journal into the file itself, so that the file can be named by its hash. Only
/// for a recording that nobody writes any more; where it can't be done, the journal stays.
void fold_journal(const std::filesystem::path& recording);

}  // namespace leeward::daemon
