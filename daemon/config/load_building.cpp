#include "daemon/config/load_building.hpp"

#include <cmath>

#include "control/physics/standard_atmosphere.hpp"
#include "daemon/config/number_keys.hpp"
#include "daemon/config/parse_toml.hpp"

namespace leeward::daemon {
namespace {

/// Weather moves the pressure at a site by less than this; more is a wrong datum.
constexpr double kPlausibleBarometerFrac = 0.05;

template <class T, std::size_t N>
std::vector<std::pair<std::string, double>> read_given(TableReader& table, T& out,
                                                       const std::array<NumberKey<T>, N>& keys) {
  std::vector<std::pair<std::string, double>> given;
  for (const NumberKey<T>& key : keys) {
    double value = 0;
    if (!read_number(table, key, value)) continue;
    set_number(out, key, value);
    given.emplace_back(key.rule.key, value);
  }
  return given;
}

void judge_barometer(TableReader& table, const control::ConditionsSpec& conditions) {
  if (!table.has("barometric_pa") && !table.has("altitude_m")) {
    table.warn("altitude_m", "neither altitude_m nor barometric_pa is given: sea level is assumed");
  }
  if (!conditions.has_barometric || !table.has("altitude_m")) return;
  const double expected =
      control::standard_pressure(control::geopotential_altitude_m(conditions.altitude_m)).si();
  if (std::abs(conditions.barometric_pa / expected - 1) > kPlausibleBarometerFrac)
    table.warn("barometric_pa", "is more than 5 % from the " + number_text(std::round(expected)) +
                                    " Pa usual at altitude_m; a forecast's figure is reduced to sea level");
}

void read_building(const TomlNode& root, BuildingFile& out, Findings& findings) {
  TableReader file(root, "", findings);
  if (auto table = file.table("building", Need::required)) {
    table->text("name", out.building.name);
    out.given_building = read_given(*table, out.building, kBuildingKeys);
    std::vector<std::string> targets;
    table->texts("targets", targets, control::Name::capacity(), control::kMaxTargets);
    for (const std::string& id : targets) out.building.targets.push_back(std::string_view(id));
    if (!table->has("volume_m3")) table->warn("volume_m3", "not given: the result will have no n50");
    table->finish();
  }
  if (auto table = file.table("conditions")) {
    out.given_conditions = read_given(*table, out.conditions, kConditionsKeys);
    judge_barometer(*table, out.conditions);
    table->finish();
  } else if (!file.has("conditions")) {
    file.warn("conditions",
              "not given: a run needs indoor_c and outdoor_c, here or as --indoor-c and --outdoor-c of "
              "leeward run");
  }
  file.finish();
}

}  // namespace

Loaded<BuildingFile> load_building(const std::string& path) {
  Findings findings(path);
  BuildingFile out;
  if (const auto file = parse_toml_file(path, findings)) read_building(file->root, out, findings);
  return loaded(std::move(out), std::move(findings));
}

}  // namespace leeward::daemon
