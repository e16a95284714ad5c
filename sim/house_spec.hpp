#pragma once
/// A simulated house with its wind, fans and gauges, as plain data. Nothing here is known to the tool.

#include <cstddef>
#include <cstdint>

#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::sim {

inline constexpr std::size_t kMaxLeaks = 16;
inline constexpr std::size_t kMaxFans = 4;

/// Where the air passes; walls are numbered round the house.
enum class Facade : std::uint8_t { wall_1, wall_2, wall_3, wall_4, ceiling, floor };
inline constexpr std::size_t kFacades = 6;

/// One leakage element: flow = c * |dp|^n at its reference air of 20 degrees C and 1.2041 kg/m3.
/// Range   c 0 or more; n 0.5 to 1
struct LeakSpec {
  control::Name name;
  double c_m3_s_pan = 0;
  double n = 0.65;
  double height_m = 0;  ///< above the floor, for the stack pressure
  double wind_cp = 0;   ///< wind pressure coefficient, of the dynamic pressure at the facade
  Facade facade = Facade::wall_1;
  bool outward_only = false;  ///< a flap that lets no air in
  bool operator==(const LeakSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("name", &LeakSpec::name);
    v("c_m3_s_pan", &LeakSpec::c_m3_s_pan);
    v("n", &LeakSpec::n);
    v("height_m", &LeakSpec::height_m);
    v("wind_cp", &LeakSpec::wind_cp);
    v("facade", &LeakSpec::facade);
    v("outward_only", &LeakSpec::outward_only);
  }
};
using Leaks = control::FixedVector<LeakSpec, kMaxLeaks>;

enum class SpectrumKind : std::uint8_t { von_karman, kaimal };

/// The wind at the house: mean, gusts, and how alike the gusts at two faces are.
struct WindSpec {
  double mean_m_s = 0;                 ///< at 10 m in the local terrain
  double shelter_factor = 0.6;         ///< part of it that the eaves see
  double turbulence_intensity = 0.35;  ///< standard deviation of the gusts over the mean at the eaves
  double length_scale_m = 50;
  SpectrumKind spectrum = SpectrumKind::von_karman;
  double slow_change_frac = 0.06;  ///< standard deviation of the slow change of the mean, of the mean
  double slow_change_s = 300;      ///< its time constant
  double coherence_decay = 10;     ///< coherence between faces exp(-decay * f * distance / wind)
  double face_distance_m = 8;
  double face_size_m = 5;  ///< side of the area over which a face averages the gusts
  bool operator==(const WindSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("mean_m_s", &WindSpec::mean_m_s);
    v("shelter_factor", &WindSpec::shelter_factor);
    v("turbulence_intensity", &WindSpec::turbulence_intensity);
    v("length_scale_m", &WindSpec::length_scale_m);
    v("spectrum", &WindSpec::spectrum);
    v("slow_change_frac", &WindSpec::slow_change_frac);
    v("slow_change_s", &WindSpec::slow_change_s);
    v("coherence_decay", &WindSpec::coherence_decay);
    v("face_distance_m", &WindSpec::face_distance_m);
    v("face_size_m", &WindSpec::face_size_m);
  }
};

/// From demand to speed: dead band, least speed, slew limit, motor lag.
struct DriveSpec {
  double slew_s_full = 6.5;        ///< from 0 to full speed at the slew limit
  double lag_s = 1.0;              ///< first-order, after the slew limit
  double dead_band_frac = 0.04;    ///< no speed up to this demand; the rest of the range is stretched
  double least_speed_frac = 0.03;  ///< where it is to turn at all, it turns at least so fast
  bool operator==(const DriveSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("slew_s_full", &DriveSpec::slew_s_full);
    v("lag_s", &DriveSpec::lag_s);
    v("dead_band_frac", &DriveSpec::dead_band_frac);
    v("least_speed_frac", &DriveSpec::least_speed_frac);
  }
};

/// A differential pressure gauge with its tubes.
struct SensorSpec {
  double lag_s = 0.35;
  double noise_pa = 0.1;            ///< standard deviation, fresh with each sample
  double resolution_pa = 0.1;       ///< step of the reading; 0 = none
  double drift_pa_per_10min = 0.1;  ///< standard deviation of the slope, which the seed fixes
  double zero_pa = 0;
  bool operator==(const SensorSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("lag_s", &SensorSpec::lag_s);
    v("noise_pa", &SensorSpec::noise_pa);
    v("resolution_pa", &SensorSpec::resolution_pa);
    v("drift_pa_per_10min", &SensorSpec::drift_pa_per_10min);
    v("zero_pa", &SensorSpec::zero_pa);
  }
};

struct SensorsSpec {
  SensorSpec building;
  SensorSpec signal;
  bool operator==(const SensorsSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("building", &SensorsSpec::building);
    v("signal", &SensorsSpec::signal);
  }
};

/// The demo fan: 300 Pa shut off, 2.58 m3/s free, four restrictions of about a third of the area each.
[[nodiscard]] control::FanSpec demo_fan();
/// Ten leaks of the demo house, 55 / 28 / 17 % in walls, ceiling and floor, q50 0.33 m3/s.
[[nodiscard]] Leaks demo_leaks();

/// One fan as it stands in the opening: its file, and what this very unit differs in.
struct FanUnitSpec {
  control::FanSpec fan = demo_fan();
  DriveSpec drive;
  double head_factor = 1;        ///< shut-off pressure over that of the file's curve
  double resistance_factor = 1;  ///< fall of the curve with flow over that of the file
  double height_m = 1;           ///< of the opening above the floor
  double wind_cp = 0;
  Facade facade = Facade::wall_4;
  bool operator==(const FanUnitSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("fan", &FanUnitSpec::fan);
    v("drive", &FanUnitSpec::drive);
    v("head_factor", &FanUnitSpec::head_factor);
    v("resistance_factor", &FanUnitSpec::resistance_factor);
    v("height_m", &FanUnitSpec::height_m);
    v("wind_cp", &FanUnitSpec::wind_cp);
    v("facade", &FanUnitSpec::facade);
  }
};
using FanUnits = control::FixedVector<FanUnitSpec, kMaxFans>;
/// One demo fan.
[[nodiscard]] FanUnits one_fan();

struct HouseSpec {
  control::Name name = "demo-house";
  double volume_m3 = 400;
  double envelope_area_m2 = 380;
  double floor_area_m2 = 160;
  double height_m = 5.4;
  double flexibility = 0.5;       ///< give of the envelope over the compressibility of the air itself
  double polytropic_index = 1.2;  ///< 1 isothermal to 1.4 adiabatic
  double indoor_c = 21;
  double outdoor_c = 4;
  double indoor_rh_frac = 0;
  double outdoor_rh_frac = 0;
  double altitude_m = 0;
  double barometric_pa = 0;  ///< 0: of the standard atmosphere at the altitude
  Leaks leaks = demo_leaks();
  WindSpec wind;
  double tap_cp = 0.05;  ///< wind pressure coefficient at the end of the outdoor tube
  double tap_height_m = 1;
  FanUnits fans = one_fan();
  SensorsSpec sensors;
  bool operator==(const HouseSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("name", &HouseSpec::name);
    v("volume_m3", &HouseSpec::volume_m3);
    v("envelope_area_m2", &HouseSpec::envelope_area_m2);
    v("floor_area_m2", &HouseSpec::floor_area_m2);
    v("height_m", &HouseSpec::height_m);
    v("flexibility", &HouseSpec::flexibility);
    v("polytropic_index", &HouseSpec::polytropic_index);
    v("indoor_c", &HouseSpec::indoor_c);
    v("outdoor_c", &HouseSpec::outdoor_c);
    v("indoor_rh_frac", &HouseSpec::indoor_rh_frac);
    v("outdoor_rh_frac", &HouseSpec::outdoor_rh_frac);
    v("altitude_m", &HouseSpec::altitude_m);
    v("barometric_pa", &HouseSpec::barometric_pa);
    v("leaks", &HouseSpec::leaks);
    v("wind", &HouseSpec::wind);
    v("tap_cp", &HouseSpec::tap_cp);
    v("tap_height_m", &HouseSpec::tap_height_m);
    v("fans", &HouseSpec::fans);
    v("sensors", &HouseSpec::sensors);
  }
};

/// Barometric pressure of the house: stated, or of the standard atmosphere.
[[nodiscard]] double barometric_pressure_pa(const HouseSpec& house);

}  // namespace leeward::sim
