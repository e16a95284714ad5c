#include "sim/campaign/told.hpp"

#include <algorithm>
#include <string_view>
#include <type_traits>

#include "sim/rng.hpp"

namespace leeward::sim {

namespace {

/// 1 give or take, never beyond three standard deviations nor below a tenth.
double doubt(Rng& rng, double sd) { return std::max(0.1, 1 + sd * std::clamp(rng.normal(), -3.0, 3.0)); }

struct Named {
  std::string_view setting;
  double value;
};

}  // namespace

Told told_of(const HouseSpec& house, const ToldSpec& spec, std::uint64_t seed) {
  Rng rng(seed, 2000);
  Told told;
  told.volume_m3 = spec.volume_frac < 1 ? house.volume_m3 * (1 + spec.volume_frac * rng.uniform(-1, 1)) : 0;
  told.indoor_c = house.indoor_c + spec.temperature_k * rng.uniform(-1, 1);
  told.outdoor_c = house.outdoor_c + spec.temperature_k * rng.uniform(-1, 1);
  return told;
}

void tell_drive(const HouseSpec& house, const ToldSpec& spec, std::uint64_t seed,
                control::RegulatorSpec& regulator) {
  if (spec.drive == DriveTold::nominal || spec.drive == DriveTold::identified) return;
  Rng rng(seed, 2001);
  const bool exact = spec.drive == DriveTold::exact;
  const auto told = [&](double value, double sd) { return value * (exact ? 1 : doubt(rng, sd)); };
  const DriveSpec& drive = house.fans[0].drive;
  const Named known[] = {
      {"drive_lag_s", told(drive.lag_s, spec.lag_sd)},
      {"drive_slew_s", told(drive.slew_s_full, spec.slew_sd)},
      {"sensor_lag_s", told(house.sensors.building.lag_s, spec.sensor_lag_sd)},
      {"signal_lag_s", told(house.sensors.signal.lag_s, spec.sensor_lag_sd)},
  };
  control::RegulatorSpec::describe([&](const char* name, auto member) {
    using Value = std::remove_reference_t<decltype(regulator.*member)>;
    if constexpr (std::is_same_v<Value, double>)
      for (const Named& one : known)
        if (one.setting == name) regulator.*member = one.value;
  });
}

void overlay(const control::RegulatorSpec& chosen, control::RegulatorSpec& onto) {
  const control::RegulatorSpec usual;
  control::RegulatorSpec::describe([&](const char*, auto member) {
    if (!(chosen.*member == usual.*member)) onto.*member = chosen.*member;
  });
}

}  // namespace leeward::sim
