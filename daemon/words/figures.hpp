#pragma once
/// Numbers as people read them: rounded, with their unit, SI except that flows are per hour.
/// What is not finite is written "not known"; zero never carries a minus.

#include <string>
#include <string_view>

namespace leeward::daemon {

[[nodiscard]] std::string fixed_text(double value, int decimals);
/// About three significant digits, never an exponent; `unit` may be empty.
[[nodiscard]] std::string figure_text(double value, std::string_view unit);
[[nodiscard]] std::string pressure_text(double pa);   ///< "50.2 Pa"
[[nodiscard]] std::string target_text(double pa);     ///< "50 Pa": no more digits than were asked for
[[nodiscard]] std::string flow_text(double m3_s);     ///< "1234 m3/h"
[[nodiscard]] std::string percent_text(double frac);  ///< "43 %"
[[nodiscard]] std::string seconds_text(double s);     ///< "40 s", "3 min 20 s"
/// A signed pressure as size and side: "50.2 Pa below outdoors".
[[nodiscard]] std::string side_text(double signed_pa);

}  // namespace leeward::daemon
