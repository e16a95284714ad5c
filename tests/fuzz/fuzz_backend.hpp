#pragma once
/// A daemon behind the routes whose engine is real: what the routes let through is stepped, and must be what
/// an engine can take.

#include <algorithm>
#include <memory>

#include "daemon/api/backend.hpp"
#include "tests/fuzz/engine_rigs.hpp"
#include "tests/fuzz/finite.hpp"

namespace leeward::fuzz {

class FuzzBackend : public daemon::Backend {
 public:
  FuzzBackend()
      : idle_(std::make_shared<daemon::Snapshot>()), running_(std::make_shared<daemon::Snapshot>()) {
    idle_->state = rig().fresh;
    control::Request start;
    start.kind = control::RequestKind::start_run;
    start.run.procedure = short_procedure(255);
    running_->state = rig().fresh;
    running_->sample.stamp_ns = 100'000'000;
    (void)rig().engine.step(running_->state, running_->sample, {&start, 1});
    running_->is_run = true;
    running_->run_id = "run-20261125-140733";
  }

  /// Forgets the execution before.
  void begin(bool is_running, daemon::SubmitStatus status) {
    is_running_ = is_running;
    status_ = status;
    submitted_ = 0;
    last_ = control::RequestKind::none;
    is_sound_ = true;
  }
  /// Whether all that was submitted held finite numbers that the engine did not call otherwise.
  [[nodiscard]] bool is_sound() const { return is_sound_; }
  [[nodiscard]] int submitted() const { return submitted_; }
  [[nodiscard]] control::RequestKind last() const { return last_; }

  [[nodiscard]] daemon::SnapshotPtr snapshot() const override { return is_running_ ? running_ : idle_; }
  void submit(const control::Request& request,
              std::function<void(const daemon::SubmitOutcome&)> done) override {
    ++submitted_;
    last_ = request.kind;
    is_sound_ = is_sound_ && all_finite(request);
    const daemon::SnapshotPtr now = snapshot();
    static const auto state = std::make_unique<control::EngineState>();
    *state = now->state;
    const control::StepOutput out = rig().engine.step(*state, now->sample, {&request, 1});
    is_sound_ = is_sound_ && out.refusals.size() == 1 && out.refusals[0] != control::Refusal::not_finite;
    done({.status = status_, .refusal = out.refusals[0], .phase = now->state.phase, .run_id = "run-1"});
  }
  [[nodiscard]] const control::EngineConfig& config() const override { return rig().engine.config(); }
  [[nodiscard]] double tick_age_s() const override { return 0.05; }
  [[nodiscard]] daemon::DeviceHealth device_health() const override { return {.connected = true}; }

 private:
  static const FuzzRig& rig() { return fuzz_rigs()[2]; }

  std::shared_ptr<daemon::Snapshot> idle_;
  std::shared_ptr<daemon::Snapshot> running_;
  bool is_running_ = false;
  daemon::SubmitStatus status_ = daemon::SubmitStatus::stepped;
  int submitted_ = 0;
  control::RequestKind last_ = control::RequestKind::none;
  bool is_sound_ = true;
};

}  // namespace leeward::fuzz
