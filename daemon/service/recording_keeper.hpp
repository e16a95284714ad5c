#pragma once
/// Opens and closes recordings beside the control thread, which must not wait for a disk. Ticks that pass
/// while a file is being made wait here, so that the recording begins before the request that it is for.

#include <atomic>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <thread>
#include <vector>

#include "control/engine.hpp"
#include "daemon/recorder/recorder.hpp"
#include "daemon/recorder/recording_fault.hpp"

namespace leeward::daemon {

struct KeeperOptions {
  std::filesystem::path folder;
  std::string software_version;
  std::string rig_text;
};

/// Thread   all but the constructor and destructor are called by the control thread; none of them blocks
///          but finish().
class RecordingKeeper {
 public:
  enum class Opening : std::uint8_t { none, pending, ready, failed };

  RecordingKeeper(KeeperOptions options, control::EngineConfig engine);
  ~RecordingKeeper();
  RecordingKeeper(const RecordingKeeper&) = delete;
  RecordingKeeper& operator=(const RecordingKeeper&) = delete;

  /// Starts to open a recording that begins with `state`. What append() gets from now on belongs to it, and
  /// to the one before as long as that is open.
  void begin(const control::Request& request, const control::EngineState& state, std::int64_t wall_unix_ms);
  [[nodiscard]] Opening opening();
  /// Why the last opening failed.
  [[nodiscard]] std::string failure();
  /// Opening is ready: the new recording takes the place of the one before, which ends as `before`.
  void adopt(control::RunState before);
  /// Gives up the opening, ready or not; its file is removed.
  void abandon();

  [[nodiscard]] bool is_recording() const { return current_ != nullptr; }
  /// Ticks handed over and not yet safe on disk.
  [[nodiscard]] std::size_t backlog() const {
    return current_ == nullptr ? 0 : current_->recorder->backlog();
  }
  /// What keeps the open recording from going on.
  [[nodiscard]] RecordingFault fault() const;
  /// Of the open recording, else of the last one.
  [[nodiscard]] const std::string& run_id() const { return run_id_; }
  void append(const control::Sample& sample, std::span<const control::Request> requests,
              const control::StepOutput& output, const control::EngineState& after);
  /// Closes the open recording; the disk is waited for elsewhere.
  void end(control::RunState state);
  /// Blocks until all is closed. At the end of the program.
  void finish();

 private:
  /// A recording and how far it has come.
  struct Open {
    std::string run_id;
    std::unique_ptr<Recorder> recorder;
    std::shared_ptr<std::atomic<RecordingFault>> fault =
        std::make_shared<std::atomic<RecordingFault>>(RecordingFault::none);
    std::uint64_t next_seq = 0;
  };
  struct WaitingTick {
    control::Sample sample;
    std::vector<control::Request> requests;
    control::StepOutput output;
  };
  void run();
  void do_later(std::function<void()> job);
  void open(const RecordingMeta& meta, const control::EngineState& state, std::uint64_t number);
  [[nodiscard]] control::Result<std::unique_ptr<Recorder>> make_recorder(const RecordingMeta& asked,
                                                                         const control::EngineState& state,
                                                                         Open& made);
  static void put(Open& open, const control::Sample& sample, std::span<const control::Request> requests,
                  const control::StepOutput& output, const control::EngineState* changed);

  const KeeperOptions options_;
  const control::EngineConfig engine_;
  // the control thread's
  std::unique_ptr<Open> current_;
  std::string run_id_;
  bool is_opening_ = false;
  std::vector<WaitingTick> waiting_;

  std::mutex mutex_;  ///< guards the rest
  std::condition_variable changed_;
  std::deque<std::function<void()>> jobs_;
  bool is_finishing_ = false;
  std::uint64_t opening_number_ = 0;  ///< an opening with another number has been abandoned
  Opening opening_ = Opening::none;
  std::unique_ptr<Open> opened_;
  std::string failure_;
  std::thread thread_;
};

}  // namespace leeward::daemon
