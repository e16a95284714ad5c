#pragma once
/// The numbers that a file or a request may hold, as data: one table says name, limits, unit and
/// meaning, and every reader (TOML here, JSON at the API) and every reference text follows it.

#include <array>

#include "control/guard/presence.hpp"
#include "control/procedure/building_spec.hpp"

namespace leeward::daemon {

/// Both ends belong to the range.
struct KeyRule {
  const char* key;
  double low;
  double high;
  bool required;
  const char* unit;
  const char* help;
};

/// A rule and the member that it fills.
template <class T>
struct NumberKey {
  KeyRule rule;
  double T::*member;
};

/// Of a run, where a sign of life is asked for at all.
inline constexpr KeyRule kPresenceKey{
    "presence_s",
    control::kLeastPresence,
    control::kMostPresence,
    false,
    "s",
    "interval in which the crew gives a sign of life: any answer or tap, or leeward here"};

inline constexpr std::size_t kLongestBuildingName = 120;

/// Table `building`, besides its text `name`. A size that is not given is not known, and results that
/// need it are left out.
inline constexpr std::array kBuildingKeys = std::to_array<NumberKey<control::BuildingSpec>>({
    {{"volume_m3", 5, 5e6, false, "m3", "internal volume"}, &control::BuildingSpec::volume_m3},
    {{"envelope_area_m2", 5, 1e6, false, "m2", "area of the whole envelope, floor included"},
     &control::BuildingSpec::envelope_area_m2},
    {{"floor_area_m2", 2, 1e6, false, "m2", "internal floor area"}, &control::BuildingSpec::floor_area_m2},
    {{"height_m", 1, 500, false, "m", "inner height, lowest floor to highest ceiling"},
     &control::BuildingSpec::height_m},
    {{"loss_area_m2", 2, 1e6, false, "m2", "heat-loss area without the lowest floor"},
     &control::BuildingSpec::loss_area_m2},
    {{"volume_relative_u", 0, 0.5, false, "of the volume", "standard uncertainty of the volume, relative"},
     &control::BuildingSpec::volume_relative_u},
});

/// Table `conditions`: the weather of the test.
inline constexpr std::array kConditionsKeys = std::to_array<NumberKey<control::ConditionsSpec>>({
    {{"indoor_c", -20, 60, true, "degrees C", "indoor air temperature"}, &control::ConditionsSpec::indoor_c},
    {{"outdoor_c", -60, 60, true, "degrees C", "outdoor air temperature"},
     &control::ConditionsSpec::outdoor_c},
    {{"indoor_rh_frac", 0, 1, false, "", "indoor relative humidity, 0 to 1"},
     &control::ConditionsSpec::indoor_rh_frac},
    {{"outdoor_rh_frac", 0, 1, false, "", "outdoor relative humidity, 0 to 1"},
     &control::ConditionsSpec::outdoor_rh_frac},
    {{"altitude_m", -450, 6000, false, "m", "above sea level; used without a barometric pressure"},
     &control::ConditionsSpec::altitude_m},
    {{"barometric_pa", 45000, 110000, false, "Pa", "at the site, not reduced to sea level"},
     &control::ConditionsSpec::barometric_pa},
    {{"wind_m_s", 0, 60, false, "m/s", "wind speed as reported"}, &control::ConditionsSpec::wind_m_s},
});

/// Puts a checked number where it belongs.
inline void set_number(control::BuildingSpec& spec, const NumberKey<control::BuildingSpec>& key,
                       double value) {
  spec.*key.member = value;
}
inline void set_number(control::ConditionsSpec& spec, const NumberKey<control::ConditionsSpec>& key,
                       double value) {
  spec.*key.member = value;
  using Spec = control::ConditionsSpec;
  if (key.member == &Spec::barometric_pa) spec.has_barometric = true;
  if (key.member == &Spec::wind_m_s) spec.has_wind = true;
  if (key.member == &Spec::altitude_m) spec.has_altitude = true;
  if (key.member == &Spec::indoor_rh_frac) spec.has_indoor_rh = true;
  if (key.member == &Spec::outdoor_rh_frac) spec.has_outdoor_rh = true;
}

}  // namespace leeward::daemon
