#pragma once

namespace leeward::control {

/// Factor that widens a standard uncertainty to a two-sided interval.
/// Range    confidence above 0 and below 1; degrees_of_freedom above 0, infinity for the normal law;
///          NaN elsewhere
[[nodiscard]] double student_t_two_sided(double confidence, double degrees_of_freedom) noexcept;

}  // namespace leeward::control
