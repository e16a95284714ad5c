#pragma once
/// The building under test and the weather, as the building file or a run request gives them.

#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxTargets = 8;

/// 0 means that an optional size is not known.
struct BuildingSpec {
  FixedText<120> name;
  double volume_m3 = 0;
  double envelope_area_m2 = 0;
  double floor_area_m2 = 0;
  double height_m = 0;
  double volume_relative_u = 0;                 ///< standard uncertainty, relative
  double loss_area_m2 = 0;                      ///< heat-loss area without the lowest floor
  FixedVector<Name, kMaxTargets> targets = {};  ///< ids of the limits that the result is held against
  bool operator==(const BuildingSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("name", &BuildingSpec::name);
    v("volume_m3", &BuildingSpec::volume_m3);
    v("envelope_area_m2", &BuildingSpec::envelope_area_m2);
    v("floor_area_m2", &BuildingSpec::floor_area_m2);
    v("height_m", &BuildingSpec::height_m);
    v("volume_relative_u", &BuildingSpec::volume_relative_u);
    v("loss_area_m2", &BuildingSpec::loss_area_m2);
    v("targets", &BuildingSpec::targets);
  }
};

/// What is not stated is assumed: the values here. Both air temperatures are always stated.
struct ConditionsSpec {
  double indoor_c = 20;
  double outdoor_c = 20;
  double indoor_rh_frac = 0.5;
  double outdoor_rh_frac = 0.5;
  bool has_barometric = false;
  double barometric_pa = 101325;  ///< station pressure, not reduced to sea level
  double altitude_m = 0;          ///< used when there is no barometric pressure
  bool has_wind = false;
  double wind_m_s = 0;
  bool has_altitude = false;
  bool has_indoor_rh = false;
  bool has_outdoor_rh = false;
  bool operator==(const ConditionsSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("indoor_c", &ConditionsSpec::indoor_c);
    v("outdoor_c", &ConditionsSpec::outdoor_c);
    v("indoor_rh_frac", &ConditionsSpec::indoor_rh_frac);
    v("outdoor_rh_frac", &ConditionsSpec::outdoor_rh_frac);
    v("has_barometric", &ConditionsSpec::has_barometric);
    v("barometric_pa", &ConditionsSpec::barometric_pa);
    v("altitude_m", &ConditionsSpec::altitude_m);
    v("has_wind", &ConditionsSpec::has_wind);
    v("wind_m_s", &ConditionsSpec::wind_m_s);
    v("has_altitude", &ConditionsSpec::has_altitude);
    v("has_indoor_rh", &ConditionsSpec::has_indoor_rh);
    v("has_outdoor_rh", &ConditionsSpec::has_outdoor_rh);
  }
};

}  // namespace leeward::control
