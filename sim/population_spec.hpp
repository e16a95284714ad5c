#pragma once
/// From what kind of houses, winds and rigs random_house() draws, as data.

#include "sim/house_spec.hpp"

namespace leeward::sim {

struct Range {
  double low = 0;
  double high = 0;
  bool operator==(const Range&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("low", &Range::low);
    v("high", &Range::high);
  }
};

/// Even between the ends of a range, unless said otherwise.
struct PopulationSpec {
  Range volume_m3{150, 3000};  ///< even in the logarithm
  Range ach50_per_h{0.3, 25};  ///< even in the logarithm; houses too leaky for the fan are drawn again
  int storeys_max = 3;         ///< from 1
  double storey_height_m = 2.7;
  Range side_ratio{1, 2};    ///< of the floor plan, even in the logarithm
  double wall_share = 0.55;  ///< of the leakage, on average; floor: the rest
  double ceiling_share = 0.28;
  double share_concentration = 30;  ///< of the Dirichlet distribution of the shares: higher is more even
  double exponent_mean = 0.65;
  double exponent_sd = 0.05;
  double exponent_scatter = 0.03;  ///< an element's from the house's, at most
  Range exponent{0.5, 0.75};       ///< all are cut to this
  Range indoor_c{18, 23};
  Range warmer_indoors_k{-15, 30};
  Range altitude_m{0, 0};
  Range flexibility{0.1, 3};  ///< even in the logarithm
  Range polytropic_index{1, 1.4};
  Range wind_m_s{0, 0};  ///< at 10 m
  Range shelter_factor{0.4, 0.9};
  Range roughness_m{0.2, 0.6};  ///< z0: turbulence intensity 1 / ln(6 m / z0)
  Range length_scale_m{30, 70};
  Range slow_change_frac{0.03, 0.12};
  Range roof_cp{-0.6, -0.3};
  Range floor_cp{-0.2, 0.1};
  double tap_in_open = 0.7;  ///< part of the houses; the others have the tap against a wall
  Range open_tap_cp{-0.15, 0.15};
  double fan_at_wall = 0;  ///< part of the houses whose fan blows along a wall in the wind; else in still air
  control::FanSpec fan = demo_fan();
  double head_sd = 0.03;
  double resistance_sd = 0.05;
  Range slew_s_full{5, 8};
  Range motor_lag_s{0.5, 2};
  Range dead_band_frac{0.02, 0.06};
  double least_speed_frac = 0.03;
  Range sensor_lag_s{0.2, 0.5};
  SensorSpec sensor;               ///< all but the lag
  double reach_pa = 60;            ///< that the largest restriction has to reach ...
  double reach_speed_frac = 0.95;  ///< ... at this speed
  bool operator==(const PopulationSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    using P = PopulationSpec;
    v("volume_m3", &P::volume_m3);
    v("ach50_per_h", &P::ach50_per_h);
    v("storeys_max", &P::storeys_max);
    v("storey_height_m", &P::storey_height_m);
    v("side_ratio", &P::side_ratio);
    v("wall_share", &P::wall_share);
    v("ceiling_share", &P::ceiling_share);
    v("share_concentration", &P::share_concentration);
    v("exponent_mean", &P::exponent_mean);
    v("exponent_sd", &P::exponent_sd);
    v("exponent_scatter", &P::exponent_scatter);
    v("exponent", &P::exponent);
    v("indoor_c", &P::indoor_c);
    v("warmer_indoors_k", &P::warmer_indoors_k);
    v("altitude_m", &P::altitude_m);
    v("flexibility", &P::flexibility);
    v("polytropic_index", &P::polytropic_index);
    v("wind_m_s", &P::wind_m_s);
    v("shelter_factor", &P::shelter_factor);
    v("roughness_m", &P::roughness_m);
    v("length_scale_m", &P::length_scale_m);
    v("slow_change_frac", &P::slow_change_frac);
    v("roof_cp", &P::roof_cp);
    v("floor_cp", &P::floor_cp);
    v("tap_in_open", &P::tap_in_open);
    v("open_tap_cp", &P::open_tap_cp);
    v("fan_at_wall", &P::fan_at_wall);
    v("fan", &P::fan);
    v("head_sd", &P::head_sd);
    v("resistance_sd", &P::resistance_sd);
    v("slew_s_full", &P::slew_s_full);
    v("motor_lag_s", &P::motor_lag_s);
    v("dead_band_frac", &P::dead_band_frac);
    v("least_speed_frac", &P::least_speed_frac);
    v("sensor_lag_s", &P::sensor_lag_s);
    v("sensor", &P::sensor);
    v("reach_pa", &P::reach_pa);
    v("reach_speed_frac", &P::reach_speed_frac);
  }
};

}  // namespace leeward::sim
