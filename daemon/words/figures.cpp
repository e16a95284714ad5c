#include "daemon/words/figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace leeward::daemon {

namespace {

constexpr double kSecondsPerHour = 3600;
constexpr double kMinuteFrom = 120;

std::string with_unit(std::string number, std::string_view unit) {
  if (unit.empty()) return number;
  return number.append(" ").append(unit);
}

}  // namespace

std::string fixed_text(double value, int decimals) {
  if (!std::isfinite(value)) return "not known";
  std::array<char, 400> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, value);
  std::string out = text.data();
  const bool all_zero = out.find_first_of("123456789") == std::string::npos;
  return all_zero && out.front() == '-' ? out.substr(1) : out;
}

std::string figure_text(double value, std::string_view unit) {
  if (!std::isfinite(value)) return "not known";
  const double size = std::abs(value);
  if (size < 1e-9) return with_unit("0", unit);
  const int decimals = std::clamp(2 - static_cast<int>(std::floor(std::log10(size))), 0, 6);
  return with_unit(fixed_text(value, decimals), unit);
}

std::string pressure_text(double pa) { return std::isfinite(pa) ? fixed_text(pa, 1) + " Pa" : "not known"; }

std::string target_text(double pa) {
  if (!std::isfinite(pa)) return "not known";
  const bool whole = std::abs(pa - std::round(pa)) < 0.05;
  return fixed_text(pa, whole ? 0 : 1) + " Pa";
}

std::string flow_text(double m3_s) {
  if (!std::isfinite(m3_s)) return "not known";
  const double m3_h = m3_s * kSecondsPerHour;
  return fixed_text(m3_h, std::abs(m3_h) < 100 ? 1 : 0) + " m3/h";
}

std::string percent_text(double frac) {
  return std::isfinite(frac) ? fixed_text(frac * 100, 0) + " %" : "not known";
}

std::string seconds_text(double s) {
  if (!std::isfinite(s)) return "not known";
  if (s < kMinuteFrom) return fixed_text(s, 0) + " s";
  const auto whole = static_cast<long long>(std::llround(s));
  return std::to_string(whole / 60) + " min " + std::to_string(whole % 60) + " s";
}

std::string side_text(double signed_pa) {
  if (!std::isfinite(signed_pa)) return "not known";
  return pressure_text(std::abs(signed_pa)) + (signed_pa < 0 ? " below outdoors" : " above outdoors");
}

}  // namespace leeward::daemon
