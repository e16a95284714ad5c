#pragma once
/// How far the building pressure lags behind the flow while the fan moves from one station to the next.

namespace leeward::control {

/// Sums over short pieces of a move. A lag of first order leaves, over any piece, an area between what the
/// flow stands for and what is read of the lag times the change of the reading.
struct MoveLag {
  bool started = false;
  double begin_pa = 0;  ///< size along the direction, at the begin of the open piece
  double open_s = 0;
  double open_flow = 0;  ///< of the flow to the power 1/n with the usual n
  double open_pressure = 0;
  double flow_by_change = 0;  ///< these summed over the pieces, each times the piece's change of pressure
  double pressure_by_change = 0;
  double change2 = 0;  ///< of the changes' squares, Pa2
  bool operator==(const MoveLag&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("started", &MoveLag::started);
    v("begin_pa", &MoveLag::begin_pa);
    v("open_s", &MoveLag::open_s);
    v("open_flow", &MoveLag::open_flow);
    v("open_pressure", &MoveLag::open_pressure);
    v("flow_by_change", &MoveLag::flow_by_change);
    v("pressure_by_change", &MoveLag::pressure_by_change);
    v("change2", &MoveLag::change2);
  }
};

/// Takes one sample that stands for dt_s. Not finite, or dt <= 0: left out.
void add(MoveLag& lag, double induced_pa, double flow_m3_s, double dt_s) noexcept;

/// The lag of a move that ended at a station of that mean pressure and flow, which scale the flow.
/// Range   0 where the pressure hardly moved
[[nodiscard]] double lag_s(const MoveLag& lag, double induced_pa, double flow_m3_s) noexcept;

}  // namespace leeward::control
