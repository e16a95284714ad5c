#pragma once
/// The units that a face shows. Data keep the units that their names say; only texts follow this choice.

#include <cstdint>
#include <optional>
#include <string_view>

namespace leeward::daemon {

enum class Units : std::uint8_t { si, metric, ip };

/// @returns nullopt for a word that is none of si, metric, ip
[[nodiscard]] std::optional<Units> units_from(std::string_view word);

enum class Quantity : std::uint8_t {
  flow,           ///< from m3/h
  flow_per_area,  ///< from m3/(h m2)
  coefficient,    ///< from m3/(h Pa^n)
  area,           ///< from cm2
  area_per_area,  ///< from cm2/m2
  per_hour,
  plain
};

/// What a figure is multiplied by, and the unit that it has then.
struct FaceUnit {
  double factor = 1;
  const char* unit = "";
};
[[nodiscard]] FaceUnit face_unit(Quantity quantity, Units units);

}  // namespace leeward::daemon
