#pragma once
/// The engine with its guard against the simulated house, in process and as fast as it goes: where a rig is
/// tuned.

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "control/engine.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/regulate/operating_point.hpp"
#include "sim/plant.hpp"

namespace leeward::daemon {

/// What was applied and read, one entry a tick.
struct TuneRecord {
  std::vector<double> demand_frac;
  std::vector<double> pressure_pa;  ///< induced size, as the engine took it
};

class TuneBench {
 public:
  /// @param house  its fans are taken for the rig's: as many, each with the rig's curve and restrictions
  TuneBench(const control::EngineConfig& rig, sim::HouseSpec house, std::uint64_t seed);

  /// One sample; requests are taken with it. What a crew is asked for is done at once.
  void tick();
  void tick_for(double seconds);
  /// @returns whether it became true within the time; a trip ends the waiting
  bool tick_until(const std::function<bool()>& done, double at_most_s);
  [[nodiscard]] control::Refusal ask(const control::Request& request);  ///< with a tick

  bool take_baseline(double seconds);
  [[nodiscard]] control::Refusal hold(double pa);
  /// The demand of the fan within a hold; 0: the pressure is regulated again.
  [[nodiscard]] control::Refusal keep(double demand_frac);
  void stop();

  [[nodiscard]] double period_s() const { return 1.0 / engine_.config().sample_hz; }
  [[nodiscard]] double time_s() const { return static_cast<double>(stamp_ns_) * 1e-9; }
  [[nodiscard]] double pressure_pa() const { return state_.induced_pa; }
  [[nodiscard]] double demand_frac() const { return state_.applied_frac; }
  [[nodiscard]] bool fresh() const { return fresh_; }
  [[nodiscard]] const control::Trip& trip() const { return state_.guard.trip; }
  /// What the house has, along the direction of the test and against the zero-flow pressure taken.
  [[nodiscard]] double true_pressure_pa() const;
  [[nodiscard]] const TuneRecord& record() const { return record_; }
  [[nodiscard]] const control::EngineConfig& rig() const { return engine_.config(); }
  /// What the engine has learnt of the plant.
  [[nodiscard]] control::PlantView learnt() const;
  [[nodiscard]] double most_true_pa() const { return most_true_pa_; }

 private:
  [[nodiscard]] control::Sample read() const;
  void answer_asks();

  sim::Plant plant_;
  control::Engine engine_;
  control::EngineState state_;
  control::FanCurve curve_;
  std::int64_t stamp_ns_ = 0;
  bool fresh_ = false;
  std::vector<control::Request> requests_;
  control::Refusal last_refusal_ = control::Refusal::accepted;
  TuneRecord record_;
  double most_true_pa_ = 0;
};

}  // namespace leeward::daemon
