#pragma once

#include "control/physics/fan_curve.hpp"
#include "sim/house_spec.hpp"

namespace leeward::sim {

/// Pressure rise of one fan unit at full speed and the curve's density, with its slope at hand.
///
/// The pieces of the file's curve, each written out as a cubic, with the unit's scatter: the shut-off
/// pressure times one factor, the fall with flow times another.
class UnitCurve {
 public:
  UnitCurve() = default;
  /// A fan without a usable curve gets the demo fan's.
  explicit UnitCurve(const FanUnitSpec& unit);
  struct Rise {
    double pa = 0;
    double pa_s_m3 = 0;  ///< slope by the flow
  };
  /// @param flow_m3_s  from 0 to free delivery; beyond, the end pieces go on
  [[nodiscard]] Rise at(double flow_m3_s) const {
    std::size_t i = 0;
    while (i + 1 < pieces_.size() && flow_m3_s >= pieces_[i + 1].from_m3_s) ++i;
    const Piece& piece = pieces_[i];
    const double x = flow_m3_s - piece.from_m3_s;
    return {piece.a + x * (piece.b + x * (piece.c + x * piece.d)),
            piece.b + x * (2 * piece.c + x * 3 * piece.d)};
  }
  [[nodiscard]] double free_m3_s() const { return free_m3_s_; }

 private:
  struct Piece {
    double from_m3_s = 0;
    double a = 0, b = 0, c = 0, d = 0;  ///< of the powers 0 to 3 of the flow beyond from_m3_s
  };
  control::FixedVector<Piece, control::kMaxCurvePoints + 1> pieces_;
  double free_m3_s_ = 0;
};

}  // namespace leeward::sim
