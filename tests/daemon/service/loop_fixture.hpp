#pragma once
/// The control loop over a made-up device and the real engine, ticked by hand.

#include <gtest/gtest.h>
#include <stdlib.h>

#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <vector>

#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/recorder/run_store.hpp"
#include "daemon/service/control_loop.hpp"

namespace leeward::daemon {

/// Calm air, a covered fan, a wire that never fails; every call gives the next sample.
class CalmDevice : public Device {
 public:
  control::Sample next_sample() override {
    std::unique_lock lock(mutex_);
    // Lets the recorder's threads have their turn; what is in the sample does not depend on it.
    news_.wait_for(lock, std::chrono::microseconds(200), [this] { return is_woken_; });
    control::Sample sample;
    sample.out_of_turn = std::exchange(is_woken_, false);
    sample.wall_unix_ms = 1'700'000'000'000 + 100 * ticks_;
    sample.device = control::DeviceStatus::ok;
    if (sample.out_of_turn) {
      sample.stamp_ns = ticks_ * kPeriodNs + 1;
      return sample;
    }
    sample.stamp_ns = ++ticks_ * kPeriodNs;
    const double wobble_pa = ticks_ % 2 == 0 ? 0.1 : -0.1;
    sample.building_pressure_pa = {-2.0 + wobble_pa + 0.01 * static_cast<double>(ticks_ % 7), sample.stamp_ns,
                                   control::Quality::good};
    sample.fans[0].signal_pa = {0.1 * static_cast<double>(ticks_ % 3), sample.stamp_ns,
                                control::Quality::good};
    return sample;
  }
  void write(const control::Command& command) override { written.push_back(command); }
  void wake() override {
    const std::lock_guard lock(mutex_);
    is_woken_ = true;
    ++wakes;
    news_.notify_one();
  }
  bool shut_down() override {
    is_shut_down = true;
    return true;
  }
  void crew_did(const control::Ask& ask) override { done.push_back(ask); }

  std::vector<control::Command> written;
  std::vector<control::Ask> done;
  int wakes = 0;
  bool is_shut_down = false;

 private:
  static constexpr std::int64_t kPeriodNs = 100'000'000;
  std::mutex mutex_;
  std::condition_variable news_;
  std::int64_t ticks_ = 0;
  bool is_woken_ = false;
};

class LoopFixture : public testing::Test {
 protected:
  LoopFixture() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-loop-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
    engine_.emplace(load_rig(LEEWARD_SOURCE_DIR "/config/rigs/simulated.toml").value->engine);
    build(folder_ / "runs");
  }
  ~LoopFixture() override {
    loop_.reset();
    keeper_.reset();
    std::filesystem::remove_all(folder_);
  }
  void build(const std::filesystem::path& runs) {
    loop_.reset();
    keeper_.emplace(KeeperOptions{runs, "test", "rig text"}, engine_->config());
    LoopOptions options;
    options.publish = [this](const SnapshotPtr& snapshot) {
      published_.push_back(snapshot);
      is_found_when_heard_ = is_found_when_heard_ && loop_->snapshot() == snapshot;
    };
    loop_.emplace(*engine_, device_, *keeper_, std::move(options));
  }

  static control::Request make(control::RequestKind kind) {
    control::Request request;
    request.kind = kind;
    return request;
  }
  static control::Request baseline(double duration_s) {
    control::Request request = make(control::RequestKind::baseline);
    request.duration_s = duration_s;
    return request;
  }
  static control::Request start_run() {
    control::Request request = make(control::RequestKind::start_run);
    request.run.procedure = *load_named_procedure("single-point", LEEWARD_SOURCE_DIR "/config").value;
    request.run.building.volume_m3 = 400;
    return request;
  }

  /// Submits, and ticks until it is answered.
  SubmitOutcome outcome_of(const control::Request& request) {
    std::optional<SubmitOutcome> got;
    loop_->submit(request, [&got](const SubmitOutcome& outcome) { got = outcome; });
    tick_until([&got] { return got.has_value(); });
    return got.value_or(SubmitOutcome{.status = SubmitStatus::shutting_down});
  }
  void tick(int count) {
    for (int i = 0; i < count; ++i) (void)loop_->tick();
  }
  /// Bounded, so that a fault ends the test.
  void tick_until(const std::function<bool()>& is_reached) {
    for (int i = 0; i < 20'000 && !is_reached(); ++i) (void)loop_->tick();
    EXPECT_TRUE(is_reached());
  }
  [[nodiscard]] control::Phase phase() const { return loop_->snapshot()->state.phase; }
  [[nodiscard]] std::vector<RunEntry> runs() const { return RunStore::open(folder_ / "runs")->list(); }

  std::filesystem::path folder_;
  CalmDevice device_;
  std::optional<control::Engine> engine_;
  std::optional<RecordingKeeper> keeper_;
  std::optional<ControlLoop> loop_;
  std::vector<SnapshotPtr> published_;
  bool is_found_when_heard_ = true;  ///< who hears of a tick and asks at once gets that tick
};

}  // namespace leeward::daemon
