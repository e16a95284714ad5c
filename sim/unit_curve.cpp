#include "sim/unit_curve.hpp"

namespace leeward::sim {

namespace {

control::FanCurve curve_of(const control::FanSpec& fan, control::FixedVector<double, 17>& knots) {
  auto points = fan.curve;
  auto curve = control::FanCurve::make(points);
  if (!curve) {
    points = demo_fan().curve;
    curve = control::FanCurve::make(points);
  }
  knots.push_back(0);
  for (const control::CurvePoint& point : points)
    if (point.flow_m3_s > 0) knots.push_back(point.flow_m3_s);
  return *curve;
}

}  // namespace

UnitCurve::UnitCurve(const FanUnitSpec& unit) {
  control::FixedVector<double, control::kMaxCurvePoints + 1> knots;
  const control::FanCurve curve = curve_of(unit.fan, knots);
  const double shut_off_pa = curve.full_rise_pa(0);
  const auto rise = [&](double flow_m3_s) {
    return unit.head_factor * shut_off_pa -
           unit.resistance_factor * (shut_off_pa - curve.full_rise_pa(flow_m3_s));
  };
  for (std::size_t i = 0; i < knots.size(); ++i) {
    // A cubic is known from four of its points: here at 0, 1/3, 2/3 and all of the piece.
    const double width = i + 1 < knots.size() ? knots[i + 1] - knots[i] : knots[i];
    const double y0 = rise(knots[i]);
    const double y1 = rise(knots[i] + width / 3);
    const double y2 = rise(knots[i] + 2 * width / 3);
    const double y3 = rise(knots[i] + width);
    pieces_.push_back({.from_m3_s = knots[i],
                       .a = y0,
                       .b = (-11 * y0 + 18 * y1 - 9 * y2 + 2 * y3) / (2 * width),
                       .c = 9 * (2 * y0 - 5 * y1 + 4 * y2 - y3) / (2 * width * width),
                       .d = 9 * (-y0 + 3 * y1 - 3 * y2 + y3) / (2 * width * width * width)});
  }
  double low = 0;
  double high = curve.free_flow_m3_s();
  for (int i = 0; i < 20 && rise(high) > 0; ++i) high *= 2;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (rise(middle) > 0 ? low : high) = middle;
  }
  free_m3_s_ = 0.5 * (low + high);
}

}  // namespace leeward::sim
