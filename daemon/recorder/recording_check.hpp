#pragma once
/// What a recording still holds, however much of its file is broken: the readings before the first break,
/// those behind the last one, the holes between, and whether the run's end was written.

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "control/phase.hpp"
#include "control/result.hpp"

namespace leeward::daemon {

/// Ticks that follow one another without a hole.
struct TickRange {
  std::uint64_t first_seq = 0;
  std::uint64_t last_seq = 0;
  bool operator==(const TickRange&) const = default;
};

struct RecordingCheck {
  std::string run_id;
  control::RunState state = control::RunState::interrupted;
  bool is_ended = false;            ///< the end was written; a live or cut-off recording has none
  std::vector<TickRange> ticks;     ///< what can be read, ascending
  double recorded_s = 0;            ///< from the first to the last of them, engine time
  std::uint64_t snapshots = 0;      ///< averages and results that can be read
  std::vector<std::string> damage;  ///< what is wrong with the file, the first of it; empty: it is whole
  [[nodiscard]] std::uint64_t readable() const;
  [[nodiscard]] bool is_whole() const { return damage.empty() && ticks.size() <= 1; }
};

/// Reads only; the file stays as it is.
/// Errors   io where it is not there or nothing in it says that it is a recording; conflict where another
///          version made it
[[nodiscard]] control::Result<RecordingCheck> check_recording(const std::filesystem::path& path);

}  // namespace leeward::daemon
