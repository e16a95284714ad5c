#pragma once
/// Everything the engine is told about the rig. Constant while it runs; recorded with every run.

#include <cstdint>

#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"
#include "control/physics/fan_spec.hpp"
#include "control/sample.hpp"

namespace leeward::control {

/// How the fan stops when the wire goes silent.
enum class SilenceStop : std::uint8_t { none, device_timeout, watchdog_relay };

struct LimitSpec {
  double building_pressure_max_pa = 80;  ///< ceiling, size of the induced or measured pressure
  double pressure_rate_max_pa_s = 40;
  double sensor_range_pa = 1000;  ///< readings beyond it are out of range
  double demand_max_frac = 1;
  double missing_sample_s = 0.3;
  double frozen_s = 2;
  bool operator==(const LimitSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("building_pressure_max_pa", &LimitSpec::building_pressure_max_pa);
    v("pressure_rate_max_pa_s", &LimitSpec::pressure_rate_max_pa_s);
    v("sensor_range_pa", &LimitSpec::sensor_range_pa);
    v("demand_max_frac", &LimitSpec::demand_max_frac);
    v("missing_sample_s", &LimitSpec::missing_sample_s);
    v("frozen_s", &LimitSpec::frozen_s);
  }
};

/// The law that drives the fan: the model's, which falls back to the plain one by itself, or the plain one.
enum class RegulatorLaw : std::uint8_t { plain, model };

/// What is assumed of drive and gauges, and the settings of the plain 2-DOF PI(D).
struct RegulatorSpec {
  RegulatorLaw law = RegulatorLaw::model;
  double drive_lag_s = 1.2;    ///< nominal lag of motor and wheel
  double drive_slew_s = 7;     ///< nominal time from 0 to full speed
  double sensor_lag_s = 0.4;   ///< of the building gauge with its tube
  double signal_lag_s = 0.4;   ///< of the fan-side gauge with its tube
  double closed_loop_s = 1.0;  ///< wanted closed-loop time constant
  double setpoint_weight = 1;
  double derivative_s = 0;
  double derivative_filter_n = 8;
  double travel_rate_pa_s = 6;  ///< of the plain law's reference in a hold or between stations
  double demand_slew_per_s = 0.5;
  // Gains found on the rig, of the pressure at which they were found; 0: those of the rule.
  double tuned_pa = 0;
  double tuned_kc_frac_per_pa = 0;
  double tuned_ti_s = 0;
  bool operator==(const RegulatorSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("law", &RegulatorSpec::law);
    v("drive_lag_s", &RegulatorSpec::drive_lag_s);
    v("drive_slew_s", &RegulatorSpec::drive_slew_s);
    v("sensor_lag_s", &RegulatorSpec::sensor_lag_s);
    v("signal_lag_s", &RegulatorSpec::signal_lag_s);
    v("closed_loop_s", &RegulatorSpec::closed_loop_s);
    v("setpoint_weight", &RegulatorSpec::setpoint_weight);
    v("derivative_s", &RegulatorSpec::derivative_s);
    v("derivative_filter_n", &RegulatorSpec::derivative_filter_n);
    v("travel_rate_pa_s", &RegulatorSpec::travel_rate_pa_s);
    v("demand_slew_per_s", &RegulatorSpec::demand_slew_per_s);
    v("tuned_pa", &RegulatorSpec::tuned_pa);
    v("tuned_kc_frac_per_pa", &RegulatorSpec::tuned_kc_frac_per_pa);
    v("tuned_ti_s", &RegulatorSpec::tuned_ti_s);
  }
};

struct EngineConfig {
  Name rig_name;
  double sample_hz = 10;
  SilenceStop silence_stop = SilenceStop::none;
  double look_round_pa = 10;                ///< highest pressure of a hold without the crew's word
  double building_gauge_accuracy_frac = 0;  ///< see RunRecord
  FixedVector<FanSpec, kMaxFans> fans;
  LimitSpec limits;
  RegulatorSpec regulator;
  bool learns_drive =
      false;  ///< nothing is known of the drive: the first run finds out before its look-round
  bool operator==(const EngineConfig&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("rig_name", &EngineConfig::rig_name);
    v("sample_hz", &EngineConfig::sample_hz);
    v("silence_stop", &EngineConfig::silence_stop);
    v("look_round_pa", &EngineConfig::look_round_pa);
    v("building_gauge_accuracy_frac", &EngineConfig::building_gauge_accuracy_frac);
    v("fans", &EngineConfig::fans);
    v("limits", &EngineConfig::limits);
    v("regulator", &EngineConfig::regulator);
    v("learns_drive", &EngineConfig::learns_drive);
  }
};

}  // namespace leeward::control
