#pragma once
/// A fan as its file describes it: restrictions with their calibration, fan curve, limits.

#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxRestrictions = 10;
inline constexpr std::size_t kMaxCurvePoints = 16;

/// One flow restriction: flow = k * signal^m, at the fan's calibration density.
/// Range   k > 0; 0.3 <= m <= 1.0; 0 <= signal_min < signal_max; 0 <= loss_frac <= 1
struct RestrictionSpec {
  Name name;
  double k_m3_s_pam = 0;
  double m = 0.5;
  double signal_min_pa = 0;
  double signal_max_pa = 0;
  double loss_frac = 0;     ///< part of the signal that is lost for good
  double k_relative_u = 0;  ///< standard uncertainty of k, relative; 0 = not stated
  bool operator==(const RestrictionSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("name", &RestrictionSpec::name);
    v("k_m3_s_pam", &RestrictionSpec::k_m3_s_pam);
    v("m", &RestrictionSpec::m);
    v("signal_min_pa", &RestrictionSpec::signal_min_pa);
    v("signal_max_pa", &RestrictionSpec::signal_max_pa);
    v("loss_frac", &RestrictionSpec::loss_frac);
    v("k_relative_u", &RestrictionSpec::k_relative_u);
  }
};

/// A point of the fan curve at full demand with no restriction: flow and static pressure rise.
struct CurvePoint {
  double flow_m3_s = 0;
  double rise_pa = 0;
  bool operator==(const CurvePoint&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("flow_m3_s", &CurvePoint::flow_m3_s);
    v("rise_pa", &CurvePoint::rise_pa);
  }
};

struct FanSpec {
  Name name;
  double density_kg_m3 = 1.2041;  ///< air for which the calibration holds
  double min_demand_frac = 0.05;  ///< least demand at which the fan turns steadily
  double max_demand_frac = 1.0;
  FixedVector<CurvePoint, kMaxCurvePoints> curve;               ///< empty: learnt while running
  FixedVector<RestrictionSpec, kMaxRestrictions> restrictions;  ///< largest first
  int fitted = 0;                                               ///< index into restrictions at start
  bool operator==(const FanSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("name", &FanSpec::name);
    v("density_kg_m3", &FanSpec::density_kg_m3);
    v("min_demand_frac", &FanSpec::min_demand_frac);
    v("max_demand_frac", &FanSpec::max_demand_frac);
    v("curve", &FanSpec::curve);
    v("restrictions", &FanSpec::restrictions);
    v("fitted", &FanSpec::fitted);
  }
};

}  // namespace leeward::control
