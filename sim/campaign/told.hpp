#pragma once
/// What the tool is told of a house and its rig, and how true it is.

#include <cstdint>

#include "control/engine_config.hpp"
#include "sim/house_spec.hpp"

namespace leeward::sim {

/// How the drive and the gauges are told: not at all, as a good commissioning finds them, as they are, or as
/// an experiment on the house itself finds them, whose time counts.
enum class DriveTold : std::uint8_t { nominal, commissioned, exact, identified };

struct ToldSpec {
  DriveTold drive = DriveTold::commissioned;
  double lag_sd = 0.1;         ///< commissioned: relative standard deviation, cut at three of them
  double slew_sd = 0.03;       ///< as above
  double sensor_lag_sd = 0.2;  ///< as above
  double volume_frac = 0.1;    ///< even within so much of the volume; at 1 it is not told at all
  double temperature_k = 0;    ///< even within so much of each temperature
  bool operator==(const ToldSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("drive", &ToldSpec::drive);
    v("lag_sd", &ToldSpec::lag_sd);
    v("slew_sd", &ToldSpec::slew_sd);
    v("sensor_lag_sd", &ToldSpec::sensor_lag_sd);
    v("volume_frac", &ToldSpec::volume_frac);
    v("temperature_k", &ToldSpec::temperature_k);
  }
};

struct Told {
  double volume_m3 = 0;
  double indoor_c = 20;
  double outdoor_c = 20;
};

/// The same seed is told the same, whatever else is told.
[[nodiscard]] Told told_of(const HouseSpec& house, const ToldSpec& spec, std::uint64_t seed);

/// Sets what the regulator takes the drive for, by the names of its settings: those that it does not have are
/// left out, so that a new one needs no change here.
void tell_drive(const HouseSpec& house, const ToldSpec& spec, std::uint64_t seed,
                control::RegulatorSpec& regulator);

/// Takes over each setting that differs from the default: what somebody chose.
void overlay(const control::RegulatorSpec& chosen, control::RegulatorSpec& onto);

}  // namespace leeward::sim
