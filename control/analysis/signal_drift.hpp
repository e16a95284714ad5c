#pragma once
/// The fan-side gauge's zero wanders between the two zero-flow readings; both show where it stood.

#include "control/analysis/run_record.hpp"

namespace leeward::control {

/// Flow goes with this power of the signal, closely enough for small corrections.
inline constexpr double kMeterExponent = 0.5;

struct SignalDrift {
  double change_pa = 0;  ///< from the zero-flow reading before to the one after
  double u_pa = 0;       ///< standard uncertainty of the zero at the stations, once the change is taken off
};
[[nodiscard]] SignalDrift signal_drift(const DirectionRecord& record) noexcept;

/// The record with the flows of its stations as if the zero had been taken anew at each: the zero goes
/// straight in time from one reading to the other.
/// Range   as it is where one of the readings is missing, and for a station whose signal the drift would
///         change by more than a tenth: such a gauge is not drifting but broken
[[nodiscard]] DirectionRecord without_signal_drift(const DirectionRecord& record) noexcept;

}  // namespace leeward::control
