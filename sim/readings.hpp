#pragma once
/// The two faces of the plant, kept apart: what the gauges say, and what is.

#include <array>

#include "sim/house_spec.hpp"

namespace leeward::sim {

struct FanMeasurement {
  double signal_pa = 0;   ///< at least 0
  double speed_frac = 0;  ///< as the drive reports it
  bool operator==(const FanMeasurement&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("signal_pa", &FanMeasurement::signal_pa);
    v("speed_frac", &FanMeasurement::speed_frac);
  }
};

/// What a rig's device reads. Building pressure is indoor minus outdoor.
struct Measurement {
  double building_pressure_pa = 0;
  std::array<FanMeasurement, kMaxFans> fans{};
  double indoor_c = 0;
  double outdoor_c = 0;
  bool operator==(const Measurement&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("building_pressure_pa", &Measurement::building_pressure_pa);
    v("fans", &Measurement::fans);
    v("indoor_c", &Measurement::indoor_c);
    v("outdoor_c", &Measurement::outdoor_c);
  }
};

struct FanTruth {
  double speed_frac = 0;
  double flow_m3_s =
      0;  ///< mean of the last 0.1 s, of the air as it passes, positive the way that the fan blows
  double signal_pa = 0;
  bool operator==(const FanTruth&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("speed_frac", &FanTruth::speed_frac);
    v("flow_m3_s", &FanTruth::flow_m3_s);
    v("signal_pa", &FanTruth::signal_pa);
  }
};

/// What is, without any gauge. Never for the tool, only for judging it.
struct Truth {
  double time_s = 0;
  double zone_pressure_pa = 0;      ///< indoor minus undisturbed outdoor, at the floor
  double building_pressure_pa = 0;  ///< what an ideal gauge between the same two points would read
  double rest_pressure_pa = 0;      ///< the same with fans off and covered, in the mean wind
  double induced_pa = 0;            ///< building_pressure_pa - rest_pressure_pa, signed
  double tap_wind_pa = 0;           ///< wind pressure at the end of the outdoor tube
  double wind_m_s = 0;              ///< speed at the tap
  double flow_m3_s = 0;             ///< sum of the fans
  std::array<FanTruth, kMaxFans> fans{};
  std::array<double, kMaxLeaks> leak_pressure_pa{};  ///< across each leak, indoor minus outdoor
  bool operator==(const Truth&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("time_s", &Truth::time_s);
    v("zone_pressure_pa", &Truth::zone_pressure_pa);
    v("building_pressure_pa", &Truth::building_pressure_pa);
    v("rest_pressure_pa", &Truth::rest_pressure_pa);
    v("induced_pa", &Truth::induced_pa);
    v("tap_wind_pa", &Truth::tap_wind_pa);
    v("wind_m_s", &Truth::wind_m_s);
    v("flow_m3_s", &Truth::flow_m3_s);
    v("fans", &Truth::fans);
    v("leak_pressure_pa", &Truth::leak_pressure_pa);
  }
};

}  // namespace leeward::sim
