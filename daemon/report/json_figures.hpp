#pragma once
/// Figures in a result's JSON: what is not known is null, never a made-up number.

#include <string>

#include <nlohmann/json.hpp>

#include "control/analysis/run_result.hpp"

namespace leeward::daemon {

[[nodiscard]] nlohmann::json number_or_null(double value);
[[nodiscard]] nlohmann::json number_if(bool known, double value);

/// Puts key, key_low and key_high (two-sided) and key_upper (one-sided bound); all null when the interval is
/// not known.
void put_interval(nlohmann::json& out, const std::string& key, const control::Interval& interval,
                  double scale);

/// A pressure as part of a key: 50 gives "50", 12.5 gives "12_5".
[[nodiscard]] std::string key_pressure(double pa);

inline constexpr double kHourlyPerSecond = 3600;  ///< m3/s to m3/h
inline constexpr double kCm2PerM2 = 1e4;
inline constexpr double kHeadlinePa = 50;  ///< q50 and n50 are stated for every procedure

}  // namespace leeward::daemon
