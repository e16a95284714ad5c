#pragma once
/// A daemon without a control thread: the handlers see it, the tests say how it answers.

#include <functional>
#include <mutex>
#include <vector>

#include "daemon/api/backend.hpp"

namespace leeward::daemon {

/// One fan with two restrictions; the numbers are invented.
inline control::EngineConfig fake_config() {
  control::EngineConfig config;
  config.rig_name = "fake";
  control::FanSpec fan;
  fan.name = "fan-a";
  control::RestrictionSpec large;
  large.name = "bore-500";
  large.k_m3_s_pam = 0.2;
  large.signal_max_pa = 160;
  control::RestrictionSpec small = large;
  small.name = "bore-290";
  fan.restrictions.push_back(large);
  fan.restrictions.push_back(small);
  config.fans.push_back(fan);
  return config;
}

class FakeBackend : public Backend {
 public:
  using Answer = std::function<SubmitOutcome(const control::Request&)>;

  FakeBackend() : config_(fake_config()), snapshot_(std::make_shared<const Snapshot>()) {}

  [[nodiscard]] SnapshotPtr snapshot() const override {
    const std::lock_guard lock(mutex_);
    return snapshot_;
  }
  void submit(const control::Request& request, std::function<void(const SubmitOutcome&)> done) override {
    Answer answer;
    {
      const std::lock_guard lock(mutex_);
      requests_.push_back(request);
      answer = answer_;
    }
    if (answer) return done(answer(request));
    done(SubmitOutcome{});
  }
  [[nodiscard]] const control::EngineConfig& config() const override { return config_; }
  [[nodiscard]] double tick_age_s() const override { return tick_age; }
  [[nodiscard]] DeviceHealth device_health() const override { return health; }

  DeviceHealth health{.connected = true};

  void set(const Snapshot& snapshot) {
    const std::lock_guard lock(mutex_);
    snapshot_ = std::make_shared<const Snapshot>(snapshot);
  }
  /// Before the first request.
  void set_silence_stop(control::SilenceStop stop) { config_.silence_stop = stop; }
  void refuse_with(control::Refusal refusal, control::Phase phase) {
    set_answer([refusal, phase](const control::Request&) {
      return SubmitOutcome{.refusal = refusal, .phase = phase};
    });
  }
  void set_answer(Answer answer) {
    const std::lock_guard lock(mutex_);
    answer_ = std::move(answer);
  }
  [[nodiscard]] std::vector<control::Request> requests() const {
    const std::lock_guard lock(mutex_);
    return requests_;
  }

  double tick_age = 0.05;

 private:
  control::EngineConfig config_;
  mutable std::mutex mutex_;
  SnapshotPtr snapshot_;
  Answer answer_;
  std::vector<control::Request> requests_;
};

}  // namespace leeward::daemon
