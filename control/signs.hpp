#pragma once
/// The one place where the sign of a pressure is decided.
/// Building pressure is indoor minus outdoor: depressurization is negative in data.

#include <cstdint>

namespace leeward::control {

enum class Direction : std::uint8_t { depressurize, pressurize };

/// -1 for depressurize, +1 for pressurize.
constexpr double sign_of(Direction d) { return d == Direction::depressurize ? -1.0 : 1.0; }

/// Size of a pressure in the direction of the test: positive when the fan does what it should.
constexpr double along(Direction d, double pressure_pa) { return sign_of(d) * pressure_pa; }

/// The signed building pressure of a size in the direction of the test.
constexpr double signed_pressure(Direction d, double size_pa) { return sign_of(d) * size_pa; }

constexpr Direction opposite(Direction d) {
  return d == Direction::depressurize ? Direction::pressurize : Direction::depressurize;
}

}  // namespace leeward::control
