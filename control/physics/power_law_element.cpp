#include "control/physics/power_law_element.hpp"

#include <cmath>

namespace leeward::control {

Result<PowerLawElement> PowerLawElement::make(double c_m3_s_pan, double n, PressureDiff laminar_below) {
  const auto refuse = [](const char* field, const char* allowed) {
    return tl::make_unexpected(Error{Errc::out_of_range, field, allowed});
  };
  if (!(std::isfinite(c_m3_s_pan) && c_m3_s_pan > 0)) return refuse("c_m3_s_pan", "above 0");
  if (!(n >= 0.5 && n <= 1.0)) return refuse("n", "0.5 to 1.0");
  if (!(laminar_below.finite() && laminar_below.si() > 0)) return refuse("laminar_below_pa", "above 0");
  return PowerLawElement(c_m3_s_pan, n, laminar_below.si());
}

PowerLawElement::PowerLawElement(double c_m3_s_pan, double n, double straight_below_pa)
    : c_m3_s_pan_(c_m3_s_pan),
      n_(n),
      straight_below_pa_(straight_below_pa),
      straight_below_m3_s_(c_m3_s_pan * std::pow(straight_below_pa, n)),
      straight_slope_m3_s_pa_(straight_below_m3_s_ / straight_below_pa) {}

VolumeFlow PowerLawElement::flow(PressureDiff dp) const noexcept {
  const double size_pa = std::abs(dp.si());
  if (size_pa <= straight_below_pa_) return m3_per_s(straight_slope_m3_s_pa_ * dp.si());
  return m3_per_s(std::copysign(c_m3_s_pan_ * std::pow(size_pa, n_), dp.si()));
}

PressureDiff PowerLawElement::pressure(VolumeFlow q) const noexcept {
  const double size_m3_s = std::abs(q.si());
  if (size_m3_s <= straight_below_m3_s_) return pascals(q.si() / straight_slope_m3_s_pa_);
  return pascals(std::copysign(std::pow(size_m3_s / c_m3_s_pan_, 1.0 / n_), q.si()));
}

}  // namespace leeward::control
