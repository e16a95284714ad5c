#pragma once
/// Puts a recording's samples and requests through the engine once more and compares every output with what
/// was recorded, bit for bit. Same binary and class of processor: no difference at all; elsewhere the first
/// difference is named and the results are compared by size.

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>

#include "control/engine.hpp"
#include "daemon/recorder/recording_reader.hpp"

namespace leeward::daemon {

struct ReplayDifference {
  std::uint64_t seq = 0;
  double engine_time_s = 0;
  std::string field;  ///< dotted name, for example trace.demand_frac
  std::string recorded;
  std::string replayed;
};

struct ReplayReport {
  std::uint64_t ticks = 0;      ///< put through the engine and compared
  std::uint64_t snapshots = 0;  ///< stored averages and results compared
  std::optional<ReplayDifference> first_difference;
  /// Over every figure of the stored averages and results; 0 when they are the same.
  double largest_result_relative = 0;
  /// The recording is damaged: behind this tick it could not be read. None: read to its end.
  std::optional<std::uint64_t> broken_after_seq;
  [[nodiscard]] bool same() const { return !first_difference.has_value(); }
};

using StepFunction = std::function<control::StepOutput(control::EngineState&, const control::Sample&,
                                                       std::span<const control::Request>)>;
/// Makes the function under test for the rig of the recording.
using StepMaker = std::function<StepFunction(const control::EngineConfig&)>;

/// Errors   io where not a tick can be read; conflict when the recording was made by a version with other
/// fields, or has a hole
[[nodiscard]] control::Result<ReplayReport> replay(const RecordingReader& recording, const StepMaker& maker);

}  // namespace leeward::daemon
