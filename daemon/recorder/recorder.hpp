#pragma once
/// Writes one run's recording as it happens, on a thread of its own.
///
/// The control thread only hands things over: append() copies into a bounded queue and never waits. The
/// writing thread commits twice a second, and at once when a station, a baseline, a phase or the run ends,
/// with synchronous FULL: a kill or a power cut loses at most the last second.
///
/// What could not be written stays in the queue, 10 minutes of it, and is tried again every second; the
/// oldest are kept, so that what gets written has no hole. Errors reach the caller through health() and the
/// callback, never through append().

#include <atomic>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <thread>

#include "control/engine.hpp"
#include "daemon/recorder/bounded_queue.hpp"
#include "daemon/recorder/recording_meta.hpp"
#include "daemon/recorder/tick_writer.hpp"
#include "daemon/recorder/wake.hpp"

namespace leeward::daemon {

struct RecorderHealth {
  bool recording = true;  ///< the last transaction went through
  bool disk_full = false;
  std::string last_error;       ///< stays after recovery, for the log
  std::size_t queue_depth = 0;  ///< handed over, not yet safe on disk
  std::uint64_t dropped = 0;    ///< lost because the queue was full; must be 0
  std::optional<std::uint64_t> last_committed_seq;
};

struct RecorderOptions {
  /// Half a second, so that a commit on a slow card or a busy machine still ends within a second.
  std::chrono::milliseconds commit_period{500};
  std::chrono::milliseconds retry_period{1000};
  /// How long close() goes on trying when the disk refuses.
  std::chrono::milliseconds close_patience{3000};
  double keep_s = 600;  ///< ticks that fit into the queue, at the rig's sample rate
  /// Called on the writing thread when recording breaks off or goes on.
  std::function<void(const RecorderHealth&)> on_change;
};

class Recorder {
 public:
  /// Makes the file and states where the run starts from.
  /// Errors   conflict when the file exists; io
  [[nodiscard]] static control::Result<std::unique_ptr<Recorder>> open(const std::filesystem::path& path,
                                                                       const RecordingMeta& meta,
                                                                       const control::EngineState& initial,
                                                                       RecorderOptions options = {});
  /// Writes what it has. Without close() before it the file shows an interrupted run.
  ~Recorder();
  Recorder(const Recorder&) = delete;
  Recorder& operator=(const Recorder&) = delete;

  /// One tick, in order. Control thread; never blocks.
  /// @param changed  with a tick that took a baseline, ended a station or made the result: the state after
  /// it,
  ///                 whose averages and result become safe in the same transaction as the tick
  void append(std::uint64_t seq, const control::Sample& sample, std::span<const control::Request> requests,
              const control::StepOutput& output, const control::EngineState* changed = nullptr);
  /// Writes everything, then how the run ended, and ends the thread. Nothing may be appended after it.
  /// Not for the control thread: waits for the disk, at most close_patience beyond a running write.
  void close(control::RunState state);

  /// What waits to be safe on disk, without waiting for anybody. Control thread.
  [[nodiscard]] std::size_t backlog() const { return queue_.size(); }
  /// Most that can wait; what comes on top is lost, and counted.
  [[nodiscard]] std::size_t backlog_max() const { return queue_.capacity(); }
  /// How long the transaction that is being written has taken so far; 0 between transactions. Any thread,
  /// without waiting for anybody.
  [[nodiscard]] std::chrono::nanoseconds writing_for() const;
  [[nodiscard]] RecorderHealth health() const;  ///< any thread
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  struct Item {
    TickRecord tick;
    std::unique_ptr<RunSnapshot> snapshot;  ///< of the state after it, where that is to be kept
  };
  Recorder(std::filesystem::path path, const RecordingMeta& meta, RecorderOptions options);
  void push(std::unique_ptr<Item> item);
  void run();
  void join();
  void write_out();
  [[nodiscard]] control::Result<void> write_batch();
  [[nodiscard]] control::Result<void> put_items(std::size_t count);
  [[nodiscard]] control::Result<void> open_again();
  void note_success(std::size_t count);
  void note_failure(const control::Error& error);

  const std::filesystem::path path_;
  const control::EngineConfig engine_;
  const RecorderOptions options_;
  BoundedQueue<Item> queue_;
  Wake wake_;
  std::atomic<bool> closing_ = false;
  std::atomic<std::uint64_t> dropped_ = 0;
  std::atomic<std::int64_t> writing_since_ns_ = 0;  ///< monotonic clock; 0: between transactions
  std::optional<control::RunState> end_;            ///< set before closing_
  std::optional<TickWriter> writer_;                ///< the writing thread's; empty after a failure
  mutable std::mutex health_mutex_;                 ///< never taken by append()
  RecorderHealth health_;
  std::thread thread_;
};

}  // namespace leeward::daemon
