#pragma once
/// Where fan and house are just now, and what they are like: an extended Kalman filter over the wheel's
/// speed, the zone's pressure, both gauges, the wind and five slow parameters.

#include <array>
#include <cstddef>

#include "control/estimate/fan_map.hpp"
#include "control/estimate/house_curve.hpp"
#include "control/estimate/plant_model.hpp"

namespace leeward::control {

/// The states, in their order. Pressures are induced sizes along the direction of the test.
enum class PlantPart : std::size_t {
  speed,     ///< of the wheel, 1 = what the fan's curve is for
  pressure,  ///< in the zone, Pa
  gauge,     ///< what the building gauge shows, Pa
  signal,    ///< what the fan-side gauge shows, Pa
  wind,      ///< zero-flow pressure less its mean, Pa
  level,     ///< ln of the leakage at the pivot, m3/s, as the fan reads it
  exponent,  ///< of the leakage
  storage,   ///< ln of the zone's compliance, m3/Pa
  offset,    ///< demand below which the wheel stands
  scale,     ///< ln of demand per speed
  count
};
inline constexpr std::size_t kPlantParts = static_cast<std::size_t>(PlantPart::count);

struct PlantFilter {
  bool started = false;
  double volume_m3 = 0;  ///< that it was started with; 0: not told
  std::array<double, kPlantParts> x{};
  std::array<double, kPlantParts * kPlantParts> p{};  ///< covariance, row by row
  double ramp_speed = 0;                              ///< behind the drive's slew limit
  double flow_m3_s = 0;                               ///< of one fan, at the last step
  double signal_ahead_pa = 0;        ///< by which the pressure at the fan is ahead of its gauge
  double waiting_frac = 0;           ///< the last demand, which acts one sample later
  std::array<double, 2> surprise{};  ///< of each gauge: smoothed square of its error over what was expected
  bool operator==(const PlantFilter&) const = default;
  [[nodiscard]] double at(PlantPart part) const { return x[static_cast<std::size_t>(part)]; }
  [[nodiscard]] double covariance(PlantPart a, PlantPart b) const {
    return p[static_cast<std::size_t>(a) * kPlantParts + static_cast<std::size_t>(b)];
  }
  [[nodiscard]] double u(PlantPart part) const;
  /// Relative standard uncertainty of the leakage at a pressure.
  [[nodiscard]] double flow_relative_u_at(double pressure_pa) const;
  template <class V>
  static void describe(V&& v) {
    v("started", &PlantFilter::started);
    v("volume_m3", &PlantFilter::volume_m3);
    v("x", &PlantFilter::x);
    v("p", &PlantFilter::p);
    v("ramp_speed", &PlantFilter::ramp_speed);
    v("flow_m3_s", &PlantFilter::flow_m3_s);
    v("signal_ahead_pa", &PlantFilter::signal_ahead_pa);
    v("waiting_frac", &PlantFilter::waiting_frac);
    v("surprise", &PlantFilter::surprise);
  }
};

/// Before anything has been read with the fan: from what is known of house and fan by then.
/// @param volume_m3  0 where not told
[[nodiscard]] PlantFilter plant_prior(const PlantModel& model, double volume_m3, const HouseCurve& house,
                                      const FanMap& map) noexcept;

/// For the other direction of flow: fan and zone stay what they are, the leaks may behave differently.
[[nodiscard]] PlantFilter for_other_direction(const PlantFilter& filter) noexcept;

/// Goes on by a sample's time; what no step of the equations explains widens the uncertainty.
/// @param acting_frac  demand in the meantime
void plant_predict(PlantFilter& filter, const PlantModel& model, double acting_frac, double dt_s) noexcept;

/// Takes the building gauge in. Not finite: left out, as in the two below.
void plant_see_pressure(PlantFilter& filter, double induced_pa) noexcept;
/// Takes the fan-side gauge in.
void plant_see_signal(PlantFilter& filter, double signal_pa) noexcept;
/// Takes the leakage in as both gauges together show it: flow over pressure to its power. Without it the
/// filter may come to rest where pressure, storage and leakage are wrong together.
void plant_anchor(PlantFilter& filter, const PlantModel& model, double dt_s) noexcept;

}  // namespace leeward::control
