#include "daemon/config/load_fan.hpp"

#include <cmath>

#include "control/physics/fan_curve.hpp"
#include "daemon/config/file_paths.hpp"
#include "daemon/config/near_key.hpp"
#include "daemon/config/number_keys.hpp"
#include "daemon/config/parse_toml.hpp"

namespace leeward::daemon {
namespace {

using control::FanSpec;
using control::RestrictionSpec;

constexpr std::array kFanKeys = std::to_array<NumberKey<FanSpec>>({
    {{"density_kg_m3", 0.5, 2, false, "kg/m3", "air for which the calibration holds"},
     &FanSpec::density_kg_m3},
    {{"min_demand_frac", 0, 0.5, false, "", "least demand at which the fan turns steadily"},
     &FanSpec::min_demand_frac},
    {{"max_demand_frac", 0.1, 1, false, "", "largest demand allowed"}, &FanSpec::max_demand_frac},
});

constexpr std::array kRestrictionKeys = std::to_array<NumberKey<RestrictionSpec>>({
    {{"k_m3_s_pam", 1e-6, 100, true, "m3/(s Pa^m)", "flow = k * signal^m"}, &RestrictionSpec::k_m3_s_pam},
    {{"m", 0.3, 1, false, "", "exponent of the signal"}, &RestrictionSpec::m},
    {{"signal_min_pa", 0, 1000, true, "Pa", "below it the flow cannot be read"},
     &RestrictionSpec::signal_min_pa},
    {{"signal_max_pa", 1, 5000, true, "Pa", "above it the calibration does not hold"},
     &RestrictionSpec::signal_max_pa},
    {{"loss_frac", 0, 1, false, "", "part of the signal that is lost for good"}, &RestrictionSpec::loss_frac},
    {{"k_relative_u", 0, 0.3, false, "", "standard uncertainty of k, relative"},
     &RestrictionSpec::k_relative_u},
});

constexpr NumberRange kCurveFlow{0, 1000, "m3/s"};
constexpr NumberRange kCurveRise{0, 5000, "Pa"};
/// Restrictions may have different exponents, so their size is compared as the flow at this signal.
constexpr double kCompareSignalPa = 50;

double flow_to_compare(const RestrictionSpec& r) { return r.k_m3_s_pam * std::pow(kCompareSignalPa, r.m); }

void read_curve(TableReader& table, FanSpec& fan) {
  constexpr const char* kKey = "curve_m3_s_pa";
  std::vector<std::pair<double, double>> points;
  if (!table.pairs(kKey, points, kCurveFlow, kCurveRise, 2, control::kMaxCurvePoints)) return;
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (points[i].first <= points[i - 1].first || points[i].second > points[i - 1].second) {
      table.error(kKey, "flows must rise and pressures must not, from point to point; point " +
                            std::to_string(i) + " (from 0) breaks that");
      return;
    }
  }
  for (const auto& [flow, rise] : points) fan.curve.push_back({flow, rise});
  const auto curve = control::FanCurve::make(fan.curve);
  if (!curve) table.error(kKey, curve.error().text);
}

void read_restriction(TableReader& entry, FanSpec& fan) {
  RestrictionSpec r;
  const std::size_t errors_before = entry.findings().errors.size();
  if (entry.text("name", r.name, Need::required) && restriction_named(fan, r.name.view()))
    entry.error("name", "\"" + std::string(r.name.view()) + "\" is there already; names must differ");
  read_numbers(entry, r, kRestrictionKeys);
  entry.finish();
  if (entry.findings().errors.size() == errors_before) {
    if (!(r.signal_min_pa < r.signal_max_pa)) entry.error("signal_max_pa", "must be above signal_min_pa");
    if (!fan.restrictions.empty() && flow_to_compare(fan.restrictions.back()) <= flow_to_compare(r))
      entry.conclude("k_m3_s_pam",
                     "restrictions must stand largest first; this one passes more than the last");
  }
  fan.restrictions.push_back(r);
}

FanSpec read_fan(const TomlNode& root, Findings& findings) {
  FanSpec fan;
  TableReader file(root, "", findings);
  if (auto table = file.table("fan", Need::required)) {
    table->text("name", fan.name, Need::required);
    read_numbers(*table, fan, kFanKeys);
    read_curve(*table, fan);
    for (TableReader& entry : table->tables("restriction", control::kMaxRestrictions, Need::required))
      read_restriction(entry, fan);
    if (!(fan.min_demand_frac < fan.max_demand_frac))
      table->conclude("max_demand_frac", "must be above min_demand_frac");
    table->finish();
  }
  file.finish();
  return fan;
}

std::vector<std::string> restriction_names(const FanSpec& fan) {
  std::vector<std::string> names;
  for (const RestrictionSpec& r : fan.restrictions) names.emplace_back(r.name.view());
  return names;
}

}  // namespace

std::optional<int> restriction_named(const FanSpec& fan, std::string_view name) {
  for (std::size_t i = 0; i < fan.restrictions.size(); ++i)
    if (fan.restrictions[i].name == name) return static_cast<int>(i);
  return std::nullopt;
}

Loaded<FanSpec> load_fan(const std::string& path) {
  Findings findings(path);
  FanSpec fan;
  if (const auto file = parse_toml_file(path, findings)) fan = read_fan(file->root, findings);
  return loaded(fan, std::move(findings));
}

std::optional<FanSpec> read_fan_entry(TableReader& entry, const std::string& in_file) {
  std::string file;
  std::string fitted;
  const bool named = entry.text("file", file, 1000, Need::required);
  const bool has_fitted = entry.text("fitted", fitted, control::Name::capacity(), Need::required);
  if (!named) return std::nullopt;
  const std::string path = relative_to_file(in_file, file);
  Loaded<FanSpec> fan = load_fan(path);
  entry.add_file("file", path, fan.errors, fan.warnings);
  if (!fan || !has_fitted) return std::nullopt;
  const auto index = restriction_named(*fan.value, fitted);
  if (!index) {
    entry.error("fitted", "must be " + one_of(restriction_names(*fan.value)) + " (of " + file + "), is \"" +
                              fitted + "\"");
    return std::nullopt;
  }
  fan.value->fitted = *index;
  return *fan.value;
}

}  // namespace leeward::daemon
