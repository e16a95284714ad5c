#pragma once

#include <array>

#include "sim/fast_math.hpp"
#include "sim/house_spec.hpp"

namespace leeward::sim {

/// Densities and viscosities on both sides, and the gravity head per metre between them.
struct Air {
  double indoor_kg_m3 = 1.2041;
  double outdoor_kg_m3 = 1.2041;
  double indoor_pa_s = 1.81e-5;
  double outdoor_pa_s = 1.81e-5;
  bool operator==(const Air&) const = default;
  /// Gain of (indoor minus outdoor) pressure over a height.
  /// Source   (rho_outdoor - rho_indoor) g h
  [[nodiscard]] double stack_pa(double height_m) const {
    return (outdoor_kg_m3 - indoor_kg_m3) * 9.80665 * height_m;
  }
};
/// Air of a house that is within range (see cut_to_range).
[[nodiscard]] Air air_of(const HouseSpec& house);

/// Mass that leaves, and how it grows with the zone's pressure.
struct Outflow {
  double kg_s = 0;
  double kg_s_pa = 0;  ///< at least 0
};

/// Below this size a leak's power law gives way to a straight line of the same end value.
inline constexpr double kStraightBelowPa = 0.05;

/// The leaks of a house as the step needs them, with the mass of the air that really passes each.
///
/// A leak measured at reference air has C proportional to viscosity^(1-2n) * density^(n-1): an orifice
/// at n = 1/2, a laminar crack at n = 1. Air on its way in is outdoor air, on its way out indoor air.
/// Source   density and viscosity correction of ASTM E779 and ISO 9972
class Zone {
 public:
  Zone() = default;
  Zone(const HouseSpec& house, const Air& air);
  /// An opening of an area at a height of 1 m out of the wind; 0 closes it.
  void set_door(double area_m2, const Air& air);
  /// Wind pressure at a leak; the stack is added here.
  void set_wind_pressure(std::size_t leak, double wind_pa) {
    offset_pa_.set(leak, stack_pa_.get(leak) - wind_pa);
  }
  [[nodiscard]] std::size_t leaks() const { return leaks_; }
  /// Pressure across a leak, indoor minus outdoor.
  [[nodiscard]] double across_pa(std::size_t leak, double zone_pa) const {
    return zone_pa + offset_pa_.get(leak);
  }
  [[nodiscard]] Outflow outflow(double zone_pa) const {
    Pair kg_s{};
    Pair kg_s_pa{};
    for (std::size_t i = 0; i < pairs_; ++i) {
      const Pair across = zone_pa + offset_pa_.pairs[i];
      const Pair size = across < 0 ? -across : across;
      const Pair size_in_power = size < kStraightBelowPa ? Pair{kStraightBelowPa, kStraightBelowPa} : size;
      const Pair per_pa =
          (across < 0 ? c_in_.pairs[i] : c_out_.pairs[i]) * fast_pow(size_in_power, n_less_1_.pairs[i]);
      kg_s += per_pa * across;
      kg_s_pa += per_pa * (1 + (size < kStraightBelowPa ? Pair{} : n_less_1_.pairs[i]));
    }
    return {kg_s[0] + kg_s[1], kg_s_pa[0] + kg_s_pa[1]};
  }

 private:
  static constexpr std::size_t kPairs = kMaxLeaks / 2 + 1;  ///< with room for the open door
  struct Column {
    std::array<Pair, kPairs> pairs{};
    void set(std::size_t slot, double value) { pairs[slot / 2][slot % 2] = value; }
    [[nodiscard]] double get(std::size_t slot) const { return pairs[slot / 2][slot % 2]; }
  };
  void set_leak(std::size_t slot, double c_m3_s_pan, double n, double height_m, const Air& air);
  std::size_t leaks_ = 0;
  std::size_t pairs_ = 0;  ///< in use; unused slots have a coefficient of 0
  Column offset_pa_;
  Column c_in_;  ///< kg/(s Pa^n)
  Column c_out_;
  Column n_less_1_;
  Column stack_pa_;
};

}  // namespace leeward::sim
