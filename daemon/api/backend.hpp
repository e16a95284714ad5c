#pragma once
/// What the handlers need of the daemon behind them. The service implements it; tests put a plain one here.

#include <cstdint>
#include <functional>
#include <string>

#include "control/engine_config.hpp"
#include "control/phase.hpp"
#include "control/request.hpp"
#include "daemon/api/snapshot.hpp"
#include "daemon/devices/device_health.hpp"

namespace leeward::daemon {

enum class SubmitStatus : std::uint8_t {
  stepped,           ///< the engine has judged it: see refusal
  queue_full,        ///< too many requests are waiting
  overtaken,         ///< a stop came before it was stepped, so it was dropped
  recording_failed,  ///< no recording could be opened: see detail
  shutting_down
};

struct SubmitOutcome {
  SubmitStatus status = SubmitStatus::stepped;
  control::Refusal refusal = control::Refusal::accepted;
  control::Phase phase = control::Phase::idle;  ///< before the request was stepped
  std::string
      run_id{};  ///< start_run, baseline, hold, climb, learn_drive: the recording that was opened for it
  std::string detail{};
  [[nodiscard]] bool accepted() const {
    return status == SubmitStatus::stepped && refusal == control::Refusal::accepted;
  }
};

class Backend {
 public:
  virtual ~Backend() = default;
  /// Never null. From any thread.
  [[nodiscard]] virtual SnapshotPtr snapshot() const = 0;
  /// From any thread. `done` is called once, from any thread, perhaps before this returns.
  virtual void submit(const control::Request& request, std::function<void(const SubmitOutcome&)> done) = 0;
  [[nodiscard]] virtual const control::EngineConfig& config() const = 0;
  /// Seconds of the wall clock since the last tick.
  [[nodiscard]] virtual double tick_age_s() const = 0;
  /// How the wire has been. From any thread.
  [[nodiscard]] virtual DeviceHealth device_health() const = 0;
};

}  // namespace leeward::daemon
