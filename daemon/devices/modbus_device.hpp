#pragma once
/// A rig behind Modbus TCP. One worker thread owns the bus; whatever hangs there, the control thread
/// gets its sample in time, with readings or without.

#include <condition_variable>
#include <mutex>
#include <thread>

#include "daemon/devices/counter_clock.hpp"
#include "daemon/devices/device.hpp"
#include "daemon/devices/modbus_session.hpp"
#include "daemon/devices/pacer.hpp"
#include "daemon/devices/poll_schedule.hpp"

namespace leeward::daemon {

/// Two clocks. Without a sample counter, samples are asked for at `sample_hz` of our own clock and
/// engine time is that clock. With one, every new count is a sample and engine time advances by counts
/// over `sample_hz`, at whatever rate the rig counts; while it does not, missing samples are made every
/// period of our own clock, and each advances engine time by one period.
class ModbusDevice final : public Device {
 public:
  ModbusDevice(const ModbusSpec& spec, double sample_hz);
  ~ModbusDevice() override;
  ModbusDevice(const ModbusDevice&) = delete;
  ModbusDevice& operator=(const ModbusDevice&) = delete;

  [[nodiscard]] control::Sample next_sample() override;
  void write(const control::Command& command) override;
  void wake() override;
  bool shut_down() override;
  [[nodiscard]] DeviceHealth health() const override;

 private:
  using Lock = std::unique_lock<std::mutex>;
  using Duration = std::chrono::nanoseconds;

  // Of the control thread
  control::Sample next_paced(Lock& lock);
  control::Sample next_counted(Lock& lock);
  control::Sample take_count(SteadyTime now);
  control::Sample make_missing(SteadyTime now);
  control::Sample out_of_turn(SteadyTime now);
  control::Sample missing() const;
  control::Sample finish(control::Sample sample, std::int64_t stamp_ns, SteadyTime now);

  // Of the worker thread
  void work();
  bool has_work(SteadyTime now) const;
  SteadyTime next_look(SteadyTime now) const;
  void serve(Lock& lock);
  void serve_connecting(Lock& lock);
  void serve_command(Lock& lock);
  void serve_reading(Lock& lock);
  void serve_count(Lock& lock);

  ModbusSession session_;  ///< the worker's own after the start
  const bool counted_;
  const Duration period_;

  mutable std::mutex mutex_;
  std::condition_variable work_;  ///< to the worker: a command, a tick, the end
  std::condition_variable news_;  ///< to the control thread: an answer, a wake, the end
  bool wake_ = false;
  bool stop_ = false;
  SteadyTime stop_by_{};
  bool off_taken_ = false;
  control::Command command_;  ///< holding the last is resolved: each fan is off or driven
  std::uint64_t commands_ = 0;
  std::uint64_t commands_served_ = 0;
  bool command_refused_ = false;
  std::uint64_t ticks_ = 0;
  std::uint64_t ticks_served_ = 0;
  std::optional<Polled> polled_;  ///< the newest that has not been taken
  control::DeviceStatus last_status_ = control::DeviceStatus::not_connected;
  DeviceHealth health_;

  // Time, of the control thread
  Pacer pacer_;
  CounterClock counter_clock_;
  SteadyTime start_;
  SteadyTime tick_at_;  ///< when the present or last tick began
  std::int32_t late_ = 0;
  bool awaiting_ = false;  ///< the tick has begun and its reading is not there
  bool grace_ = true;      ///< no missing sample since the last count
  bool first_ = true;
  std::int64_t stamp_ns_ = 0;  ///< of the last regular sample

  // Of the worker
  PollSchedule schedule_;
  SteadyTime look_at_{};
  std::optional<std::uint64_t> last_count_;

  std::thread worker_;
};

}  // namespace leeward::daemon
