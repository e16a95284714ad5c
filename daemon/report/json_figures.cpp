#include "daemon/report/json_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace leeward::daemon {

nlohmann::json number_or_null(double value) {
  return std::isfinite(value) ? nlohmann::json(value) : nlohmann::json(nullptr);
}

nlohmann::json number_if(bool known, double value) { return known ? number_or_null(value) : nullptr; }

void put_interval(nlohmann::json& out, const std::string& key, const control::Interval& interval,
                  double scale) {
  out[key] = number_if(interval.known, interval.value * scale);
  out[key + "_low"] = number_if(interval.known, interval.low * scale);
  out[key + "_high"] = number_if(interval.known, interval.high * scale);
  out[key + "_upper"] = number_if(interval.known, interval.upper * scale);
}

std::string key_pressure(double pa) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%g", pa);
  std::string key = text.data();
  std::replace(key.begin(), key.end(), '.', '_');
  return key;
}

}  // namespace leeward::daemon
