#pragma once
/// The one thread that drives the fan: read, step, write, record, publish; nothing else.

#include <atomic>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "control/engine.hpp"
#include "daemon/api/backend.hpp"
#include "daemon/devices/device.hpp"
#include "daemon/service/cover_word.hpp"
#include "daemon/service/recent_pressure.hpp"
#include "daemon/service/recording_keeper.hpp"
#include "daemon/service/request_queue.hpp"
#include "daemon/watchman/tether.hpp"

namespace leeward::daemon {

struct LoopOptions {
  /// Called with every tick's snapshot on the control thread; must not block.
  std::function<void(const SnapshotPtr&)> publish;
  /// Runs the answer to a caller elsewhere, so that the control thread does not; empty: runs it at once.
  std::function<void(std::function<void()>)> post;
  Tether* tether = nullptr;  ///< null in tests alone: nobody watches
};

class ControlLoop : public Backend {
 public:
  ControlLoop(const control::Engine& engine, Device& device, RecordingKeeper& keeper, LoopOptions options);

  /// Ticks until stop_and_leave(), or until the watchman has gone, then stops whatever runs, writes off and
  /// closes the recording.
  void run();
  /// Any thread.
  void stop_and_leave();

  [[nodiscard]] SnapshotPtr snapshot() const override;
  void submit(const control::Request& request, Completion done) override;
  [[nodiscard]] const control::EngineConfig& config() const override { return engine_.config(); }
  [[nodiscard]] double tick_age_s() const override;
  [[nodiscard]] DeviceHealth device_health() const override { return device_.health(); }

  /// One pass of run(), for tests and for run() itself. @returns false when it was the last
  bool tick();

 private:
  using Requests = std::vector<QueuedPtr>;
  [[nodiscard]] bool is_watched();
  void leave();
  [[nodiscard]] Requests gather(const control::Sample& sample);
  void sort_in(QueuedPtr queued, const control::Sample& sample, Requests& now);
  [[nodiscard]] bool would_start(const control::Request& request, const control::Sample& sample) const;
  void follow_opening(Requests& now);
  void drop_start(SubmitStatus why);
  void step(const control::Sample& sample, Requests& now);
  void resolve_outputs(const control::Command& command);
  void tell_crew(const control::Events& events, const OpenAsks& asks);
  void keep_recording(control::Phase before);
  void keep_recording_by_hand();
  void publish(const control::Sample& sample, const control::StepOutput& output);
  void answer(QueuedRequest& queued, SubmitOutcome outcome);

  const control::Engine& engine_;
  Device& device_;
  RecordingKeeper& keeper_;
  const LoopOptions options_;
  RequestQueue queue_;
  std::atomic<bool> is_leaving_ = false;
  std::atomic<std::int64_t> last_tick_ns_;  ///< monotonic clock

  // the control thread's own
  control::EngineState state_;
  QueuedPtr starting_;                 ///< waits for its recording
  std::int64_t starting_unix_ms_ = 0;  ///< as its recording has it
  std::int64_t starting_since_ns_ = 0;
  bool is_run_recorded_ = false;  ///< the open recording is a run's, not a hold's or baseline's
  CoverWord covers_;
  RecentPressure recent_;
  Snapshot draft_;  ///< what the next snapshot goes on from

  mutable std::mutex snapshot_mutex_;
  SnapshotPtr snapshot_;
};

}  // namespace leeward::daemon
