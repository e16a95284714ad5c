#include "daemon/report/conditions_text.hpp"

#include <cmath>
#include <vector>

#include "daemon/report/loose_json.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

using nlohmann::json;

/// A reading of the weather in inch-pound units: factor, then offset.
struct WeatherUnit {
  double factor;
  double offset;
  const char* unit;
};
constexpr WeatherUnit kFahrenheit{1.8, 32, " F"};
constexpr WeatherUnit kFeet{1 / 0.3048, 0, " ft"};
constexpr WeatherUnit kMilesPerHour{3600 / 1609.344, 0, " mph"};
constexpr WeatherUnit kPascals{1, 0, " Pa"};

void add_humidity(const json& assumed, const char* key, const char* name, std::vector<std::string>& out) {
  const double rh_frac = number_at(assumed, key);
  if (std::isfinite(rh_frac)) out.push_back(name + (" (" + fixed_text(rh_frac * 100, 0)) + " % assumed)");
}

}  // namespace

std::string conditions_text(const json& conditions, Units units) {
  std::string out;
  const auto add = [&](const char* key, const char* before, int decimals, const char* unit,
                       const WeatherUnit& ip) {
    const double value = number_at(conditions, key);
    if (!std::isfinite(value)) return;
    const bool is_ip = units == Units::ip;
    out += (out.empty() ? "" : ", ") +
           (before + fixed_text(is_ip ? ip.factor * value + ip.offset : value, decimals)) +
           (is_ip ? ip.unit : unit);
  };
  add("indoor_c", "indoors ", 1, " C", kFahrenheit);
  add("outdoor_c", "outdoors ", 1, " C", kFahrenheit);
  add("barometric_pa", "barometer ", 0, " Pa", kPascals);
  add("altitude_m", "altitude ", 0, " m", kFeet);
  add("wind_m_s", "wind ", 1, " m/s", kMilesPerHour);
  return out;
}

std::string not_stated_text(const json& conditions) {
  const json assumed = object_at(conditions, "assumed");
  std::vector<std::string> parts;
  if (assumed.contains("indoor_c")) {
    parts.emplace_back("air (reference air assumed)");
  } else if (assumed.contains("indoor_rh_frac") && assumed.contains("outdoor_rh_frac")) {
    add_humidity(assumed, "indoor_rh_frac", "humidity", parts);
  } else {
    add_humidity(assumed, "indoor_rh_frac", "indoor humidity", parts);
    add_humidity(assumed, "outdoor_rh_frac", "outdoor humidity", parts);
  }
  if (assumed.contains("altitude_m")) parts.emplace_back("altitude and barometer (sea level assumed)");
  const bool has_wind_key = conditions.contains("wind_m_s");
  if (has_wind_key && !std::isfinite(number_at(conditions, "wind_m_s"))) parts.emplace_back("wind");
  std::string out;
  for (const std::string& part : parts) out += (out.empty() ? "not stated: " : ", ") + part;
  return out;
}

}  // namespace leeward::daemon
