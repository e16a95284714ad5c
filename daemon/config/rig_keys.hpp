#pragma once
/// The numbers of a rig file's tables [limits] and [regulator].

#include "control/engine_config.hpp"
#include "daemon/config/key_rules.hpp"

namespace leeward::daemon {

inline constexpr std::array kLimitKeys = std::to_array<NumberKey<control::LimitSpec>>({
    {{"building_pressure_max_pa", 10, 250, false, "Pa", "ceiling of the building pressure"},
     &control::LimitSpec::building_pressure_max_pa},
    {{"pressure_rate_max_pa_s", 5, 500, false, "Pa/s", "fastest change that is no fault"},
     &control::LimitSpec::pressure_rate_max_pa_s},
    {{"sensor_range_pa", 50, 10000, false, "Pa", "readings beyond it are faults"},
     &control::LimitSpec::sensor_range_pa},
    {{"demand_max_frac", 0.05, 1, false, "", "largest demand ever written"},
     &control::LimitSpec::demand_max_frac},
    {{"missing_sample_s", 0.1, 1, false, "s", "silence of the gauge before a trip"},
     &control::LimitSpec::missing_sample_s},
    {{"frozen_s", 0.5, 10, false, "s", "unchanged reading before a trip"}, &control::LimitSpec::frozen_s},
});

/// In the table [limits] too, but of the engine itself.
inline constexpr std::array kEngineLimitKeys = std::to_array<NumberKey<control::EngineConfig>>({
    {{"look_round_pa", 2, 30, false, "Pa", "highest hold before the crew has looked round"},
     &control::EngineConfig::look_round_pa},
});

inline constexpr std::array kRegulatorKeys = std::to_array<NumberKey<control::RegulatorSpec>>({
    {{"drive_lag_s", 0, 20, false, "s", "lag of motor and wheel"}, &control::RegulatorSpec::drive_lag_s},
    {{"drive_slew_s", 0, 60, false, "s", "from 0 to full speed"}, &control::RegulatorSpec::drive_slew_s},
    {{"sensor_lag_s", 0, 20, false, "s", "building gauge and its tube"},
     &control::RegulatorSpec::sensor_lag_s},
    {{"signal_lag_s", 0, 20, false, "s", "fan-side gauge and its tube"},
     &control::RegulatorSpec::signal_lag_s},
    {{"closed_loop_s", 0.2, 60, false, "s", "wanted time constant of the loop"},
     &control::RegulatorSpec::closed_loop_s},
    {{"setpoint_weight", 0, 1, false, "", "of the set-point in the proportional term"},
     &control::RegulatorSpec::setpoint_weight},
    {{"derivative_s", 0, 20, false, "s", "0 = no derivative"}, &control::RegulatorSpec::derivative_s},
    {{"derivative_filter_n", 1, 100, false, "", "derivative time over its filter time"},
     &control::RegulatorSpec::derivative_filter_n},
    {{"travel_rate_pa_s", 0.1, 50, false, "Pa/s", "of a hold and between stations"},
     &control::RegulatorSpec::travel_rate_pa_s},
    {{"demand_slew_per_s", 0.02, 10, false, "per s", "fastest change of the demand"},
     &control::RegulatorSpec::demand_slew_per_s},
    {{"tuned_pa", 0, 250, false, "Pa", "pressure at which the gains below were found"},
     &control::RegulatorSpec::tuned_pa},
    {{"tuned_kc_frac_per_pa", 0, 1, false, "per Pa", "gain found there; 0 = by the rule"},
     &control::RegulatorSpec::tuned_kc_frac_per_pa},
    {{"tuned_ti_s", 0, 600, false, "s", "integral time found there"}, &control::RegulatorSpec::tuned_ti_s},
});

}  // namespace leeward::daemon
