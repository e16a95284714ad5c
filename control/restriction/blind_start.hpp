#pragma once
/// Which restriction to begin with, before anything of the house has been measured.

#include "control/restriction/served_table.hpp"

namespace leeward::control {

struct BlindStart {
  int restriction = 0;
  double changes = 0;         ///< expected after a start with it
  double fitted_changes = 0;  ///< ... and with what is fitted
};

/// The restriction that leaves the fewest changes to be expected after the first look. A look that says
/// nothing, because the signal is too small or the fan cannot get there, costs one more. Houses too leaky for
/// the fan at hand are left out: it was brought along for this one.
///
/// @param view     its house is what is believed beforehand
/// @param look_pa  induced size of the first look
[[nodiscard]] BlindStart blind_start(const RestrictionView& view, std::span<const double> stations_pa,
                                     double look_pa) noexcept;

/// Probability that the fitted restriction tells anything at a pressure: the fan gets there, and the signal
/// is above the noise, be it below the range in which it may be measured with.
[[nodiscard]] double tells_p(const RestrictionView& view, double pressure_pa) noexcept;

}  // namespace leeward::control
