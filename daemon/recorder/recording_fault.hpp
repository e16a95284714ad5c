#pragma once
/// Why a recording does not go on.

#include <cstdint>
#include <string_view>

namespace leeward::daemon {

enum class RecordingFault : std::uint8_t { none, disk_full, disk_refuses, disk_slow };

/// What happened and what to do, for people; empty for none.
[[nodiscard]] constexpr std::string_view recording_fault_text(RecordingFault fault) {
  switch (fault) {
    case RecordingFault::none:
      return "";
    case RecordingFault::disk_full:
      return "The disk is full, so the fan was stopped: nothing is measured that is not recorded. What was "
             "recorded before is kept. Make room, then start again.";
    case RecordingFault::disk_refuses:
      return "The disk no longer takes the recording, so the fan was stopped: nothing is measured that is "
             "not recorded. What was recorded before is kept. It may be read-only, worn out or gone; look at "
             "the "
             "system's log.";
    case RecordingFault::disk_slow:
      return "The disk is too slow for the recording, so the fan was stopped: nothing is measured that is "
             "not recorded. What waits is written as far as the disk takes it. Use another disk or card.";
  }
  return "";
}

}  // namespace leeward::daemon
