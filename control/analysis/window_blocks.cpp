#include "control/analysis/window_blocks.hpp"

#include <cmath>

#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kEdgeTime = 0.4;     // s: as much as the noise of one reading needs
constexpr double kFirstEdgeTime = 1;  // s: as much at a window's begin, where nothing came before

BlockMean joined(const BlockMean& a, const BlockMean& b) {
  return {0.5 * (a.pressure_pa + b.pressure_pa), 0.5 * (a.flow_m3_s + b.flow_m3_s),
          a.change_pa + b.change_pa};
}

}  // namespace

void merge_neighbours(WindowBlocks& blocks) noexcept {
  FixedVector<BlockMean, kMaxWindowBlocks> merged;
  for (std::size_t i = 0; i + 1 < blocks.means.size(); i += 2)
    merged.push_back(joined(blocks.means[i], blocks.means[i + 1]));
  blocks.means = merged;
  blocks.block_s *= 2;
}

void add(WindowBlocks& b, double pressure_pa, double flow_m3_s, double dt_s) noexcept {
  if (!std::isfinite(pressure_pa) || !std::isfinite(flow_m3_s) || !(dt_s > 0)) return;
  if (!b.started) b.edge_pa = pressure_pa;
  b.edge_pa = lag_step(b.edge_pa, pressure_pa, dt_s, kEdgeTime);
  b.open_s += dt_s;
  b.open_pressure += pressure_pa * dt_s;
  b.open_flow += flow_m3_s * dt_s;
  if (!b.started) {
    // The mean of the first readings, not the first alone: in a tight house its noise passes for much air.
    b.begin_pa = b.open_pressure / b.open_s;
    b.started = b.open_s > kFirstEdgeTime * (1 - 1e-6);
    if (b.started) b.edge_pa = b.begin_pa;
  }
  if (b.open_s < b.block_s * (1 - 1e-6)) return;
  if (b.means.full()) {
    merge_neighbours(b);
    if (b.open_s < b.block_s * (1 - 1e-6)) return;  // half of a longer block now
  }
  b.means.push_back({b.open_pressure / b.open_s, b.open_flow / b.open_s, b.edge_pa - b.begin_pa});
  b.begin_pa = b.edge_pa;
  b.open_s = b.open_pressure = b.open_flow = 0;
}

}  // namespace leeward::control
