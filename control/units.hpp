#pragma once
/// Strong types for the module borders. SI inside; the unit is spelled at every entry and exit.
/// Kernels and records use plain doubles with a unit suffix in the name.

#include <cmath>
#include <compare>

namespace leeward::control {

template <class Tag>
class Quantity {
 public:
  constexpr Quantity() = default;
  [[nodiscard]] static constexpr Quantity from_si(double v) { return Quantity(v); }
  [[nodiscard]] constexpr double si() const { return v_; }
  friend constexpr auto operator<=>(Quantity, Quantity) = default;
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.v_ + b.v_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.v_ - b.v_); }
  friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.v_); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(k * a.v_); }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.v_ / b.v_; }
  [[nodiscard]] bool finite() const { return std::isfinite(v_); }

 private:
  explicit constexpr Quantity(double v) : v_(v) {}
  double v_ = 0.0;
};

using PressureDiff = Quantity<struct PressureDiffTag>;          ///< inside minus outside, may be negative
using AbsolutePressure = Quantity<struct AbsolutePressureTag>;  ///< barometric
using VolumeFlow = Quantity<struct VolumeFlowTag>;              ///< at the density named beside it
using Density = Quantity<struct DensityTag>;
using Temperature = Quantity<struct TemperatureTag>;  ///< thermodynamic, kelvin
using Viscosity = Quantity<struct ViscosityTag>;      ///< dynamic

constexpr PressureDiff pascals(double v) { return PressureDiff::from_si(v); }
constexpr AbsolutePressure pascals_absolute(double v) { return AbsolutePressure::from_si(v); }
constexpr VolumeFlow m3_per_s(double v) { return VolumeFlow::from_si(v); }
constexpr VolumeFlow m3_per_h(double v) { return VolumeFlow::from_si(v / 3600.0); }
constexpr Density kg_per_m3(double v) { return Density::from_si(v); }
constexpr Temperature kelvin(double v) { return Temperature::from_si(v); }
constexpr Temperature celsius(double v) { return Temperature::from_si(v + 273.15); }
constexpr Viscosity pascal_seconds(double v) { return Viscosity::from_si(v); }

constexpr double in_m3_per_h(VolumeFlow q) { return q.si() * 3600.0; }
constexpr double in_celsius(Temperature t) { return t.si() - 273.15; }

}  // namespace leeward::control
