#pragma once
/// A restriction's calibration: flow = k * signal^m, both ways, at the calibration density.

#include <cstdint>

#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// Where a signal lies in the range that the calibration holds for; its limits count as inside.
enum class SignalRange : std::uint8_t { below, inside, above };

/// Flow that a fan-side signal stands for.
/// Range    a negative signal gives 0 (noise about zero is no flow), NaN gives NaN
[[nodiscard]] double flow_m3_s(const RestrictionSpec& restriction, double signal_pa) noexcept;

/// Signal that a flow makes: the inverse of flow_m3_s().
/// Range    a negative flow gives 0, NaN gives NaN
[[nodiscard]] double signal_pa(const RestrictionSpec& restriction, double flow_m3_s) noexcept;

/// NaN counts as below: it is never a signal to measure with.
[[nodiscard]] SignalRange signal_range(const RestrictionSpec& restriction, double signal_pa) noexcept;

/// Pressure that a flow through the restriction loses for good.
[[nodiscard]] double lost_pressure_pa(const RestrictionSpec& restriction, double flow_m3_s) noexcept;

}  // namespace leeward::control
