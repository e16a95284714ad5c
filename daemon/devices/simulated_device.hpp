#pragma once
/// A device over a simulated house, paced at a multiple of real time or as fast as it can.

#include <condition_variable>
#include <mutex>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/device.hpp"
#include "daemon/devices/pacer.hpp"
#include "sim/plant.hpp"

namespace leeward::daemon {

/// Deterministic: house, seed and the commands fix every reading. The pace changes only when a sample
/// is handed out, never what is in it.
class SimulatedDevice final : public Device {
 public:
  /// @param spec       speed 0 or below, or too high to be paced: no waiting at all
  /// @param sample_hz  of simulated time
  SimulatedDevice(const SimulatedSpec& spec, double sample_hz);

  [[nodiscard]] control::Sample next_sample() override;
  void write(const control::Command& command) override;
  void wake() override;
  bool shut_down() override;
  void crew_did(const control::Ask& ask) override;

 private:
  control::Sample read_plant() const;

  const double period_s_;
  const std::int64_t period_ns_;
  const bool paced_;
  const bool counts_late_;  ///< faster than real time a late tick loses nothing: the house waits

  std::mutex mutex_;
  std::condition_variable news_;
  bool wake_ = false;
  sim::Plant plant_;
  control::Command command_;
  Pacer pacer_;
  std::int64_t ticks_ = 0;  ///< regular samples handed out
};

}  // namespace leeward::daemon
