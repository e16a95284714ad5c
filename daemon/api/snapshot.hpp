#pragma once
/// How things stood after one tick: made by the control thread, never changed afterwards, read by anyone.

#include <array>
#include <cstdint>
#include <limits>
#include <memory>
#include <string>

#include "control/command.hpp"
#include "control/engine_state.hpp"
#include "control/event.hpp"
#include "control/sample.hpp"
#include "control/trace.hpp"
#include "daemon/api/tick_lateness.hpp"
#include "daemon/recorder/recording_fault.hpp"

namespace leeward::daemon {

/// What a fan was last told, with hold_last resolved.
struct FanOutput {
  bool enabled = false;
  double demand_frac = 0;
};

enum class RecordingState : std::uint8_t { none, recording, failed };

struct Snapshot {
  control::EngineState state;
  control::Sample sample;  ///< the last one that carried readings
  control::Trace trace;    ///< of this tick
  control::Events events;  ///< of this tick
  std::array<FanOutput, control::kMaxFans> outputs{};
  std::string run_id;                ///< of the open recording, else of the last one; empty before the first
  std::int64_t started_unix_ms = 0;  ///< of that recording
  bool is_run = false;               ///< it is a run's, not that of a hold or baseline
  control::RunState by_hand = control::RunState::none;  ///< how that of a hold or baseline stands
  std::array<bool, control::kMaxFans> is_cover_told{};  ///< somebody has said whether the fan is covered
  RecordingState recording = RecordingState::none;
  /// What stopped the open recording, else the last one; none with every new one.
  RecordingFault recording_fault = RecordingFault::none;
  double unrest_pa = std::numeric_limits<double>::quiet_NaN();  ///< of the building pressure, last 10 s
  std::int64_t ticks = 0;
  std::int64_t late_ticks = 0;  ///< periods missed since the start
  TickLateness lateness{};
  std::size_t recorder_backlog = 0;  ///< ticks handed over and not yet safe on disk
  std::int64_t skipped_samples = 0;  ///< sample counts not seen since the start
};

using SnapshotPtr = std::shared_ptr<const Snapshot>;

/// How the recording `run_id` stands; none before the first.
[[nodiscard]] inline control::RunState run_state_of(const Snapshot& snapshot) {
  if (snapshot.run_id.empty()) return control::RunState::none;
  return snapshot.is_run ? snapshot.state.run_state : snapshot.by_hand;
}

}  // namespace leeward::daemon
