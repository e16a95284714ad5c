#pragma once
/// The units that a report is printed in, and figures with them.

#include <string>

#include "control/analysis/run_result.hpp"
#include "daemon/document/report_options.hpp"

namespace leeward::daemon {

/// shown = SI value * factor + offset
struct DisplayUnit {
  double factor = 1;
  double offset = 0;
  std::string name;  ///< empty for a plain number
  [[nodiscard]] double shown(double si) const { return si * factor + offset; }
};

struct DisplayUnits {
  DisplayUnit flow;                ///< of m3/s
  DisplayUnit flow_per_area;       ///< of m3/(h m2), the unit of the result
  DisplayUnit coefficient;         ///< C, of m3/(s Pa^n)
  DisplayUnit restriction_factor;  ///< K, of m3/(s Pa^m)
  DisplayUnit volume;
  DisplayUnit area;
  DisplayUnit length;
  DisplayUnit leak_area;  ///< of m2
  DisplayUnit temperature;
  DisplayUnit barometer;
  DisplayUnit speed;
  DisplayUnit density;
};

[[nodiscard]] DisplayUnits display_units(UnitSystem system);

/// "1332 m³/h"; "not known" where the value is not finite.
[[nodiscard]] std::string figure_in(const DisplayUnit& unit, double si);
[[nodiscard]] std::string fixed_in(const DisplayUnit& unit, double si, int decimals);
/// The bare figure, for a table whose head holds the unit; "-" where the value is not finite.
[[nodiscard]] std::string cell_in(const DisplayUnit& unit, double si);
[[nodiscard]] std::string cell_text(double value, int decimals);
/// "1324 to 1341 m³/h"
[[nodiscard]] std::string interval_in(const DisplayUnit& unit, const control::Interval& interval);

}  // namespace leeward::daemon
