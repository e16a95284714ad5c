#pragma once
/// The registers of the virtual rig over a simulated house. See rig_registers.hpp for the map.

#include <array>
#include <functional>

#include "daemon/devices/register_bank.hpp"
#include "daemon/rig/drive_timeout.hpp"
#include "daemon/rig/misbehaviour.hpp"
#include "daemon/rig/rig_registers.hpp"
#include "sim/plant.hpp"

namespace leeward::daemon {

class RigBank final : public RegisterBank {
 public:
  RigBank(const sim::HouseSpec& house, std::uint64_t seed);

  [[nodiscard]] std::optional<std::uint16_t> get(RegisterTable table, int address) const override;
  ModbusException set(RegisterTable table, int address, std::span<const std::uint16_t> words) override;

  /// Called whenever a drive begins or ceases to turn its fan. @param tripped  on its own time-out
  using FanListener = std::function<void(int fan, bool turns, bool tripped)>;
  void listen(FanListener listener) { listener_ = std::move(listener); }

  /// The wall clock of the drive's time-out.
  void set_now(SteadyTime now);
  /// One sample of simulated time.
  void next_sample();

  /// What is to go wrong now; none when nothing is.
  [[nodiscard]] Misbehaviour misbehaviour() const;
  [[nodiscard]] std::chrono::milliseconds misbehaviour_pause() const;
  [[nodiscard]] const sim::Plant& plant() const { return plant_; }

 private:
  using Holding = std::array<std::uint16_t, rig_registers::kHoldingEnd>;

  [[nodiscard]] bool has_holding(int address) const;
  [[nodiscard]] bool acceptable(const Holding& holding, int address) const;
  [[nodiscard]] TimeoutMode timeout_mode() const;
  void take_effect(int first, int end);
  void command_fan(int fan);
  void obey();
  void set_event(int address);
  void show_readings();
  void put_float(int address, double value);

  sim::Plant plant_;
  int fans_;
  std::array<std::uint16_t, rig_registers::kInputEnd> input_{};
  Holding holding_{};
  std::array<bool, rig_registers::kMaxRigFans> enable_{};
  std::array<DriveTimeout, rig_registers::kMaxRigFans> timeouts_;
  std::uint32_t samples_ = 0;
  SteadyTime now_{};
  FanListener listener_;
  std::array<bool, rig_registers::kMaxRigFans> turns_{};
};

}  // namespace leeward::daemon
