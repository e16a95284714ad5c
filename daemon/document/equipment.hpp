#pragma once
/// What a recording says about the instruments, beyond what the engine needs: serial numbers and dates of
/// calibration, as texts in the rig file: `serial` and `calibrated` of [rig], [[fan]] or [[device.channel]].

#include <string>
#include <vector>

namespace leeward::daemon {

struct InstrumentNote {
  std::string serial;      ///< empty: not stated
  std::string calibrated;  ///< "2026-03-01"; empty: not stated
};

struct Equipment {
  InstrumentNote rig;
  std::string connection;               ///< "modbus-tcp, 192.0.2.7:502"
  std::vector<InstrumentNote> fans;     ///< in the order of the rig file
  InstrumentNote building_pressure;     ///< the channel's
  std::vector<InstrumentNote> signals;  ///< fan-side signal of each fan
};

/// @param rig_text  the rig file; what cannot be read is not stated
[[nodiscard]] Equipment equipment_of(const std::string& rig_text);

}  // namespace leeward::daemon
