#include "daemon/config/load_house.hpp"

#include "daemon/config/load_fan.hpp"
#include "daemon/config/number_keys.hpp"
#include "daemon/config/parse_toml.hpp"

namespace leeward::daemon {
namespace {

using sim::DriveSpec;
using sim::FanUnitSpec;
using sim::HouseSpec;
using sim::LeakSpec;
using sim::SensorSpec;
using sim::WindSpec;

constexpr std::array kHouseKeys = std::to_array<NumberKey<HouseSpec>>({
    {{"volume_m3", 5, 5e6, true, "m3", "internal volume"}, &HouseSpec::volume_m3},
    {{"envelope_area_m2", 5, 1e6, false, "m2", "area of the envelope"}, &HouseSpec::envelope_area_m2},
    {{"floor_area_m2", 2, 1e6, false, "m2", "internal floor area"}, &HouseSpec::floor_area_m2},
    {{"height_m", 1, 500, false, "m", "inner height"}, &HouseSpec::height_m},
    {{"flexibility", 0, 20, false, "", "give of the envelope over that of the air"}, &HouseSpec::flexibility},
    {{"polytropic_index", 1, 1.4, false, "", "1 isothermal to 1.4 adiabatic"}, &HouseSpec::polytropic_index},
    {{"indoor_c", -20, 60, false, "degrees C", "indoor air"}, &HouseSpec::indoor_c},
    {{"outdoor_c", -60, 60, false, "degrees C", "outdoor air"}, &HouseSpec::outdoor_c},
    {{"indoor_rh_frac", 0, 1, false, "", "relative humidity"}, &HouseSpec::indoor_rh_frac},
    {{"outdoor_rh_frac", 0, 1, false, "", "relative humidity"}, &HouseSpec::outdoor_rh_frac},
    {{"altitude_m", -400, 6000, false, "m", "above sea level"}, &HouseSpec::altitude_m},
    {{"barometric_pa", 45000, 110000, false, "Pa", "at the site"}, &HouseSpec::barometric_pa},
    {{"tap_cp", -2, 1.5, false, "", "wind pressure coefficient at the outdoor tube"}, &HouseSpec::tap_cp},
    {{"tap_height_m", -20, 500, false, "m", "of the outdoor tube above the floor"}, &HouseSpec::tap_height_m},
});

constexpr std::array kLeakKeys = std::to_array<NumberKey<LeakSpec>>({
    {{"c_m3_s_pan", 0, 10, true, "m3/(s Pa^n)", "flow = c * dp^n"}, &LeakSpec::c_m3_s_pan},
    {{"n", 0.5, 1, false, "", "exponent"}, &LeakSpec::n},
    {{"height_m", -20, 500, false, "m", "above the floor"}, &LeakSpec::height_m},
    {{"wind_cp", -2, 1.5, false, "", "wind pressure coefficient"}, &LeakSpec::wind_cp},
});

constexpr std::array kWindKeys = std::to_array<NumberKey<WindSpec>>({
    {{"mean_m_s", 0, 30, false, "m/s", "at 10 m in the local terrain"}, &WindSpec::mean_m_s},
    {{"shelter_factor", 0.05, 1.5, false, "", "part of it at the eaves"}, &WindSpec::shelter_factor},
    {{"turbulence_intensity", 0, 1, false, "", "gusts over the mean"}, &WindSpec::turbulence_intensity},
    {{"length_scale_m", 1, 1000, false, "m", "length of the gusts"}, &WindSpec::length_scale_m},
    {{"slow_change_frac", 0, 0.5, false, "", "slow change of the mean"}, &WindSpec::slow_change_frac},
    {{"slow_change_s", 10, 3600, false, "s", "its time constant"}, &WindSpec::slow_change_s},
    {{"coherence_decay", 0.1, 100, false, "", "decay of coherence between faces"},
     &WindSpec::coherence_decay},
    {{"face_distance_m", 0.5, 200, false, "m", "between faces"}, &WindSpec::face_distance_m},
    {{"face_size_m", 0.5, 200, false, "m", "over which a face averages"}, &WindSpec::face_size_m},
});

constexpr std::array kSensorKeys = std::to_array<NumberKey<SensorSpec>>({
    {{"lag_s", 0, 20, false, "s", "gauge and tube"}, &SensorSpec::lag_s},
    {{"noise_pa", 0, 20, false, "Pa", "standard deviation"}, &SensorSpec::noise_pa},
    {{"resolution_pa", 0, 10, false, "Pa", "step of the reading"}, &SensorSpec::resolution_pa},
    {{"drift_pa_per_10min", 0, 20, false, "Pa", "standard deviation of the slope"},
     &SensorSpec::drift_pa_per_10min},
    {{"zero_pa", -100, 100, false, "Pa", "reading at no pressure"}, &SensorSpec::zero_pa},
});

constexpr std::array kDriveKeys = std::to_array<NumberKey<DriveSpec>>({
    {{"slew_s_full", 0.1, 60, false, "s", "from 0 to full speed"}, &DriveSpec::slew_s_full},
    {{"lag_s", 0.01, 20, false, "s", "motor and wheel"}, &DriveSpec::lag_s},
    {{"dead_band_frac", 0, 0.3, false, "", "no speed up to this demand"}, &DriveSpec::dead_band_frac},
    {{"least_speed_frac", 0, 0.3, false, "", "least speed when turning"}, &DriveSpec::least_speed_frac},
});

constexpr std::array kFanUnitKeys = std::to_array<NumberKey<FanUnitSpec>>({
    {{"head_factor", 0.5, 1.5, false, "", "this unit's shut-off pressure"}, &FanUnitSpec::head_factor},
    {{"resistance_factor", 0.5, 1.5, false, "", "this unit's fall of the curve"},
     &FanUnitSpec::resistance_factor},
    {{"height_m", -20, 500, false, "m", "of the opening"}, &FanUnitSpec::height_m},
    {{"wind_cp", -2, 1.5, false, "", "wind pressure coefficient at the opening"}, &FanUnitSpec::wind_cp},
});

constexpr std::array kFacades = std::to_array<Choice<sim::Facade>>({{"wall-1", sim::Facade::wall_1},
                                                                    {"wall-2", sim::Facade::wall_2},
                                                                    {"wall-3", sim::Facade::wall_3},
                                                                    {"wall-4", sim::Facade::wall_4},
                                                                    {"ceiling", sim::Facade::ceiling},
                                                                    {"floor", sim::Facade::floor}});
constexpr std::array kSpectra = std::to_array<Choice<sim::SpectrumKind>>(
    {{"von-karman", sim::SpectrumKind::von_karman}, {"kaimal", sim::SpectrumKind::kaimal}});

void read_leaks(TableReader& house_table, HouseSpec& house) {
  std::vector<TableReader> entries = house_table.tables("leak", sim::kMaxLeaks);
  if (!house_table.has("leak")) return;
  sim::Leaks leaks;
  for (TableReader& entry : entries) {
    LeakSpec leak;
    entry.text("name", leak.name, Need::required);
    read_numbers(entry, leak, kLeakKeys);
    entry.choice<sim::Facade>("facade", leak.facade, kFacades, Need::required);
    entry.finish();
    leaks.push_back(leak);
  }
  house.leaks = leaks;
}

void read_wind(TableReader& file, WindSpec& wind) {
  auto table = file.table("wind");
  if (!table) return;
  read_numbers(*table, wind, kWindKeys);
  table->choice<sim::SpectrumKind>("spectrum", wind.spectrum, kSpectra);
  table->finish();
}

void read_sensors(TableReader& file, sim::SensorsSpec& sensors) {
  auto table = file.table("sensor");
  if (!table) return;
  if (auto building = table->table("building")) {
    read_numbers(*building, sensors.building, kSensorKeys);
    building->finish();
  }
  if (auto signal = table->table("signal")) {
    read_numbers(*signal, sensors.signal, kSensorKeys);
    signal->finish();
  }
  table->finish();
}

void read_fans(TableReader& file, HouseSpec& house) {
  std::vector<TableReader> entries = file.tables("fan", sim::kMaxFans);
  if (entries.empty()) return;
  house.fans.clear();
  for (TableReader& entry : entries) {
    FanUnitSpec unit;
    if (const auto fan = read_fan_entry(entry, entry.findings().file)) {
      unit.fan = *fan;
      if (fan->curve.empty())
        entry.error("file",
                    "needs curve_m3_s_pa in the fan file: a simulated fan cannot learn its own curve");
    }
    read_numbers(entry, unit, kFanUnitKeys);
    entry.choice<sim::Facade>("facade", unit.facade, kFacades);
    if (auto drive = entry.table("drive")) {
      read_numbers(*drive, unit.drive, kDriveKeys);
      drive->finish();
    }
    entry.finish();
    house.fans.push_back(unit);
  }
}

HouseSpec read_house(const TomlNode& root, Findings& findings) {
  HouseSpec house;
  TableReader file(root, "", findings);
  if (auto table = file.table("house", Need::required)) {
    table->text("name", house.name, Need::required);
    read_numbers(*table, house, kHouseKeys);
    read_leaks(*table, house);
    table->finish();
  }
  read_wind(file, house.wind);
  read_sensors(file, house.sensors);
  read_fans(file, house);
  file.finish();
  return house;
}

}  // namespace

Loaded<HouseSpec> load_house(const std::string& path) {
  Findings findings(path);
  HouseSpec house;
  if (const auto file = parse_toml_file(path, findings)) house = read_house(file->root, findings);
  return loaded(house, std::move(findings));
}

}  // namespace leeward::daemon
