#pragma once
/// The numbers of a population file.

#include "daemon/config/key_rules.hpp"
#include "sim/campaign/campaign_spec.hpp"

namespace leeward::daemon {

/// A pair `[low, high]` to draw from, and the member that it fills.
struct RangeKey {
  KeyRule rule;
  sim::Range sim::PopulationSpec::*member;
};
using PopulationKey = NumberKey<sim::PopulationSpec>;

inline constexpr std::array kHouseRanges = std::to_array<RangeKey>({
    {{"volume_m3", 20, 1e6, false, "m3", "even in the logarithm"}, &sim::PopulationSpec::volume_m3},
    {{"ach50_per_h", 0.05, 100, false, "per h", "air changes at 50 Pa, even in the logarithm"},
     &sim::PopulationSpec::ach50_per_h},
    {{"side_ratio", 1, 10, false, "", "of the floor plan"}, &sim::PopulationSpec::side_ratio},
    {{"exponent", 0.5, 1, false, "", "all exponents are cut to this"}, &sim::PopulationSpec::exponent},
    {{"indoor_c", -20, 50, false, "degrees C", "indoor air"}, &sim::PopulationSpec::indoor_c},
    {{"warmer_indoors_k", -40, 60, false, "K", "indoor minus outdoor"},
     &sim::PopulationSpec::warmer_indoors_k},
    {{"altitude_m", -400, 6000, false, "m", "above sea level"}, &sim::PopulationSpec::altitude_m},
    {{"flexibility", 0.001, 20, false, "", "give of the envelope over that of the air"},
     &sim::PopulationSpec::flexibility},
    {{"polytropic_index", 1, 1.4, false, "", "1 isothermal to 1.4 adiabatic"},
     &sim::PopulationSpec::polytropic_index},
});
inline constexpr std::array kHouseNumbers = std::to_array<PopulationKey>({
    {{"storey_height_m", 2, 10, false, "m", "of each storey"}, &sim::PopulationSpec::storey_height_m},
    {{"wall_share", 0.01, 0.98, false, "", "of the leakage, on average"}, &sim::PopulationSpec::wall_share},
    {{"ceiling_share", 0.01, 0.98, false, "", "of the leakage, on average"},
     &sim::PopulationSpec::ceiling_share},
    {{"share_concentration", 1, 10000, false, "", "higher shares out more evenly"},
     &sim::PopulationSpec::share_concentration},
    {{"exponent_mean", 0.5, 1, false, "", "of the houses' exponents"}, &sim::PopulationSpec::exponent_mean},
    {{"exponent_sd", 0, 0.2, false, "", "of the houses' exponents"}, &sim::PopulationSpec::exponent_sd},
    {{"exponent_scatter", 0, 0.2, false, "", "a leak's from its house's, at most"},
     &sim::PopulationSpec::exponent_scatter},
    {{"reach_pa", 1, 200, false, "Pa", "that the open fan has to reach"}, &sim::PopulationSpec::reach_pa},
    {{"reach_speed_frac", 0.05, 1, false, "", "at this speed"}, &sim::PopulationSpec::reach_speed_frac},
});

inline constexpr std::array kWindRanges = std::to_array<RangeKey>({
    {{"shelter_factor", 0.05, 1.5, false, "", "part of the wind that the eaves see"},
     &sim::PopulationSpec::shelter_factor},
    {{"roughness_m", 0.01, 1.5, false, "m", "roughness length of the terrain"},
     &sim::PopulationSpec::roughness_m},
    {{"length_scale_m", 5, 500, false, "m", "of the gusts"}, &sim::PopulationSpec::length_scale_m},
    {{"slow_change_frac", 0, 0.5, false, "", "of the mean, over minutes"},
     &sim::PopulationSpec::slow_change_frac},
    {{"roof_cp", -2, 1, false, "", "wind pressure coefficient"}, &sim::PopulationSpec::roof_cp},
    {{"floor_cp", -2, 1, false, "", "wind pressure coefficient"}, &sim::PopulationSpec::floor_cp},
    {{"open_tap_cp", -2, 1.5, false, "", "of an outdoor tube in the open"},
     &sim::PopulationSpec::open_tap_cp},
});
inline constexpr std::array kWindNumbers = std::to_array<PopulationKey>({
    {{"tap_in_open", 0, 1, false, "", "part of the houses; the others' tube ends at a wall"},
     &sim::PopulationSpec::tap_in_open},
    {{"fan_at_wall", 0, 1, false, "", "part of the houses whose fan stands in the wind"},
     &sim::PopulationSpec::fan_at_wall},
});

inline constexpr std::array kRigRanges = std::to_array<RangeKey>({
    {{"slew_s_full", 0.2, 60, false, "s", "from 0 to full speed"}, &sim::PopulationSpec::slew_s_full},
    {{"motor_lag_s", 0.01, 10, false, "s", "of motor and wheel"}, &sim::PopulationSpec::motor_lag_s},
    {{"dead_band_frac", 0, 0.5, false, "", "no speed up to this demand"},
     &sim::PopulationSpec::dead_band_frac},
    {{"sensor_lag_s", 0.01, 10, false, "s", "gauge and tube"}, &sim::PopulationSpec::sensor_lag_s},
});
inline constexpr std::array kRigNumbers = std::to_array<PopulationKey>({
    {{"head_sd", 0, 0.3, false, "", "scatter of the units' shut-off pressure, relative"},
     &sim::PopulationSpec::head_sd},
    {{"resistance_sd", 0, 0.3, false, "", "scatter of the units' fall with flow, relative"},
     &sim::PopulationSpec::resistance_sd},
    {{"least_speed_frac", 0, 0.5, false, "", "a turning fan turns at least so fast"},
     &sim::PopulationSpec::least_speed_frac},
});

inline constexpr std::array kGaugeKeys = std::to_array<NumberKey<sim::SensorSpec>>({
    {{"noise_pa", 0, 50, false, "Pa", "standard deviation"}, &sim::SensorSpec::noise_pa},
    {{"resolution_pa", 0, 50, false, "Pa", "step of the reading"}, &sim::SensorSpec::resolution_pa},
    {{"drift_pa_per_10min", 0, 50, false, "Pa", "standard deviation of the slope"},
     &sim::SensorSpec::drift_pa_per_10min},
});

inline constexpr std::array kToldKeys = std::to_array<NumberKey<sim::ToldSpec>>({
    {{"lag_sd", 0, 1, false, "", "of the motor's lag, relative"}, &sim::ToldSpec::lag_sd},
    {{"slew_sd", 0, 1, false, "", "of the slew time, relative"}, &sim::ToldSpec::slew_sd},
    {{"sensor_lag_sd", 0, 1, false, "", "of the gauges' lags, relative"}, &sim::ToldSpec::sensor_lag_sd},
    {{"volume_frac", 0, 1, false, "", "even within so much of it; 1: not told"}, &sim::ToldSpec::volume_frac},
    {{"temperature_k", 0, 20, false, "K", "even within so much"}, &sim::ToldSpec::temperature_k},
});

inline constexpr std::array kStepKeys = std::to_array<NumberKey<sim::StepScenario>>({
    {{"covered_s", 5, 600, false, "s", "zero-flow reading"}, &sim::StepScenario::covered_s},
    {{"each_s", 5, 600, false, "s", "time of a step"}, &sim::StepScenario::each_s},
});
inline constexpr std::array kGustKeys = std::to_array<NumberKey<sim::GustScenario>>({
    {{"baseline_s", 5, 600, false, "s", "zero-flow reading"}, &sim::GustScenario::baseline_s},
    {{"target_pa", 1, 70, false, "Pa", "held"}, &sim::GustScenario::target_pa},
    {{"reach_s", 5, 600, false, "s", "at most, to reach it"}, &sim::GustScenario::reach_s},
    {{"wait_s", 0, 600, false, "s", "before it counts"}, &sim::GustScenario::wait_s},
    {{"count_s", 20, 3600, false, "s", "that count"}, &sim::GustScenario::count_s},
});
inline constexpr std::array kTestKeys = std::to_array<NumberKey<sim::TestScenario>>({
    {{"fit_takes_s", 0, 600, false, "s", "the crew's time for a change of restriction"},
     &sim::TestScenario::fit_takes_s},
    {{"most_s", 60, 86400, false, "s", "given up after it"}, &sim::TestScenario::most_s},
});

}  // namespace leeward::daemon
