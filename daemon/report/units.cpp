#include "daemon/report/units.hpp"

#include <array>

#include "control/analysis/customary_units.hpp"

namespace leeward::daemon {

namespace {

constexpr double kM2PerCm2 = 1e-4;
constexpr double kSquareFootM2 = control::kMetresPerFoot * control::kMetresPerFoot;

struct UnitRow {
  FaceUnit si;
  FaceUnit metric;
  FaceUnit ip;
};

/// In the order of Quantity.
constexpr std::array<UnitRow, 7> kUnitRows{{
    {{1 / 3600.0, "m3/s"}, {1, "m3/h"}, {1 / control::kM3PerHPerCfm, "cfm"}},
    {{1 / 3600.0, "m3/(s m2)"}, {1, "m3/(h m2)"}, {1 / control::kM3PerHM2PerCfmPerFt2, "cfm/ft2"}},
    {{1 / 3600.0, "m3/(s Pa^n)"}, {1, "m3/(h Pa^n)"}, {1 / control::kM3PerHPerCfm, "cfm/Pa^n"}},
    {{kM2PerCm2, "m2"}, {1, "cm2"}, {kM2PerCm2 / control::kM2PerSquareInch, "in2"}},
    {{kM2PerCm2, "m2/m2"},
     {1, "cm2/m2"},
     {100 * kM2PerCm2 / control::kM2PerSquareInch * kSquareFootM2, "in2/100 ft2"}},
    {{1, "1/h"}, {1, "1/h"}, {1, "1/h"}},
    {{1, ""}, {1, ""}, {1, ""}},
}};

}  // namespace

std::optional<Units> units_from(std::string_view word) {
  if (word == "si") return Units::si;
  if (word == "metric") return Units::metric;
  return word == "ip" ? std::optional(Units::ip) : std::nullopt;
}

FaceUnit face_unit(Quantity quantity, Units units) {
  const UnitRow& row = kUnitRows[static_cast<std::size_t>(quantity)];
  if (units == Units::si) return row.si;
  return units == Units::ip ? row.ip : row.metric;
}

}  // namespace leeward::daemon
