#pragma once
/// Time between two stamps.

#include <cstdint>

namespace leeward::control {

/// Units   stamps in ns, result in s
/// Range   any two stamps; where the true difference does not fit it wraps instead of overflowing
[[nodiscard]] constexpr double seconds_between(std::int64_t from_ns, std::int64_t to_ns) noexcept {
  const std::uint64_t ns = static_cast<std::uint64_t>(to_ns) - static_cast<std::uint64_t>(from_ns);
  return static_cast<double>(static_cast<std::int64_t>(ns)) * 1e-9;
}

}  // namespace leeward::control
