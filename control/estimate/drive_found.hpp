#pragma once
/// What an experiment has found of a drive and its gauges.

#include <cmath>

namespace leeward::control {

/// A figure with its standard uncertainty.
struct FoundFigure {
  double value = 0;
  double u = 0;
  bool operator==(const FoundFigure&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("value", &FoundFigure::value);
    v("u", &FoundFigure::u);
  }
};

struct DriveFound {
  bool known = false;
  FoundFigure slew_s;        ///< from nothing to full speed
  FoundFigure lag_s;         ///< of motor and wheel
  FoundFigure sensor_lag_s;  ///< of the building gauge with its tube
  FoundFigure signal_lag_s;  ///< of the fan-side gauge with its tube
  FoundFigure offset_frac;   ///< demand below which the wheel stands
  FoundFigure scale;         ///< demand per speed of the fan's curve, beyond the offset
  bool operator==(const DriveFound&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("known", &DriveFound::known);
    v("slew_s", &DriveFound::slew_s);
    v("lag_s", &DriveFound::lag_s);
    v("sensor_lag_s", &DriveFound::sensor_lag_s);
    v("signal_lag_s", &DriveFound::signal_lag_s);
    v("offset_frac", &DriveFound::offset_frac);
    v("scale", &DriveFound::scale);
  }
};

/// What a drive or a gauge may be at all (common practice, no source).
struct FoundRange {
  double low = 0;
  double high = 0;
  [[nodiscard]] bool holds(const FoundFigure& f) const {
    return f.value >= low && f.value <= high && std::isfinite(f.u) && f.u >= 0;
  }
};
inline constexpr FoundRange kSlewRange{0.5, 60};
inline constexpr FoundRange kDriveLagRange{0.02, 20};
inline constexpr FoundRange kGaugeLagRange{0.01, 10};
inline constexpr FoundRange kOffsetRange{0, 0.25};
inline constexpr FoundRange kScaleRange{0.5, 2};

/// Whether each figure is one that a drive can have; NaN is none.
[[nodiscard]] inline bool plausible(const DriveFound& f) {
  return kSlewRange.holds(f.slew_s) && kDriveLagRange.holds(f.lag_s) &&
         kGaugeLagRange.holds(f.sensor_lag_s) && kGaugeLagRange.holds(f.signal_lag_s) &&
         kOffsetRange.holds(f.offset_frac) && kScaleRange.holds(f.scale);
}

}  // namespace leeward::control
