#pragma once
/// Stages one fault between the simulated plant and the engine.

#include <cstdint>

#include "sim/campaign/closed_loop.hpp"
#include "sim/campaign/fault_kind.hpp"
#include "sim/rng.hpp"

namespace leeward::sim {

/// A fault of a kind in a size drawn from a seed. Until begin() nothing is changed; from then on the plant,
/// the samples or the commands of the loop are.
class FaultStage {
 public:
  FaultStage(FaultKind kind, std::uint64_t seed);
  /// Takes the loop's hooks; the stage must live as long as the loop is stepped.
  void attach(ClosedLoop& loop);
  void begin(ClosedLoop& loop);
  /// Before each tick: what changes with time, and time itself.
  void before_tick(ClosedLoop& loop);
  [[nodiscard]] bool begun() const { return begun_; }
  [[nodiscard]] FaultKind kind() const { return kind_; }
  [[nodiscard]] double size() const { return size_; }
  /// What the drive makes of a command: the same for the plant and for a copy of it that is to stop.
  [[nodiscard]] control::FanCommand as_taken(const control::FanCommand& told) const;

 private:
  void tamper(control::Sample& sample);
  void tamper_pressure(control::Sample& sample);
  void tamper_signal(control::Sample& sample);
  void tamper_bus(control::Sample& sample);
  void tamper_time(control::Sample& sample);
  void begin_in_plant(ClosedLoop& loop) const;
  FaultKind kind_;
  Rng rng_;
  bool begun_ = false;
  double size_ = 0;
  double lasts_s_ = 0;  ///< of what passes by itself; 0: stays
  std::int64_t since_ns_ = 0;
  int ticks_ = 0;  ///< since it began
  control::FanCommand last_taken_;
  double lagged_frac_ = 0;
};

}  // namespace leeward::sim
