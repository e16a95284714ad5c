#include "control/analysis/move_lag.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

constexpr double kShortestPiece = 2;     // s
constexpr double kLongestPiece = 10;     // s
constexpr double kLeastPieceMove = 0.6;  // Pa: less is the gauge's noise
constexpr double kLeastMoved2 = 1;       // Pa2
constexpr double kMoveExponent = 0.65;

double pressure_like(double flow_m3_s) { return std::pow(std::max(0.0, flow_m3_s), 1 / kMoveExponent); }

}  // namespace

void add(MoveLag& lag, double induced_pa, double flow_m3_s, double dt_s) noexcept {
  if (!std::isfinite(induced_pa) || !std::isfinite(flow_m3_s) || !(dt_s > 0)) return;
  if (!lag.started) {
    lag.started = true;
    lag.begin_pa = induced_pa;
    return;
  }
  lag.open_s += dt_s;
  lag.open_flow += pressure_like(flow_m3_s) * dt_s;
  lag.open_pressure += induced_pa * dt_s;
  const double change = induced_pa - lag.begin_pa;
  const bool moved = lag.open_s >= kShortestPiece && std::abs(change) >= kLeastPieceMove;
  if (!moved && lag.open_s < kLongestPiece) return;
  if (std::abs(change) >= kLeastPieceMove) {
    lag.flow_by_change += lag.open_flow * change;
    lag.pressure_by_change += lag.open_pressure * change;
    lag.change2 += change * change;
  }
  lag.begin_pa = induced_pa;
  lag.open_s = lag.open_flow = lag.open_pressure = 0;
}

double lag_s(const MoveLag& lag, double induced_pa, double flow_m3_s) noexcept {
  if (lag.change2 < kLeastMoved2 || !(flow_m3_s > 0)) return 0;
  const double scale = induced_pa / pressure_like(flow_m3_s);
  return (scale * lag.flow_by_change - lag.pressure_by_change) / lag.change2;
}

}  // namespace leeward::control
