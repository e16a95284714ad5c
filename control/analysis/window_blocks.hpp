#pragma once
/// A window of averaging cut into short blocks: the fits see how pressure and flow moved inside it.

#include "control/fixed_vector.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxWindowBlocks = 16;

struct BlockMean {
  double pressure_pa = 0;  ///< measured, signed
  double flow_m3_s = 0;    ///< total, as read
  double change_pa = 0;    ///< of the pressure from the block's begin to its end
  bool operator==(const BlockMean&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("pressure_pa", &BlockMean::pressure_pa);
    v("flow_m3_s", &BlockMean::flow_m3_s);
    v("change_pa", &BlockMean::change_pa);
  }
};

/// Blocks of equal length, one after the other from the window's begin. When they run out, neighbours are
/// merged and blocks become twice as long.
struct WindowBlocks {
  double block_s = 5;
  double open_s = 0;  ///< of the block that is being filled
  double open_pressure = 0;
  double open_flow = 0;
  bool started = false;
  double edge_pa = 0;   ///< pressure now, low-passed a little
  double begin_pa = 0;  ///< the same at the begin of the open block
  FixedVector<BlockMean, kMaxWindowBlocks> means;
  bool operator==(const WindowBlocks&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("block_s", &WindowBlocks::block_s);
    v("open_s", &WindowBlocks::open_s);
    v("open_pressure", &WindowBlocks::open_pressure);
    v("open_flow", &WindowBlocks::open_flow);
    v("started", &WindowBlocks::started);
    v("edge_pa", &WindowBlocks::edge_pa);
    v("begin_pa", &WindowBlocks::begin_pa);
    v("means", &WindowBlocks::means);
  }
};

/// Neighbours joined to blocks twice as long; what is left over at the end is dropped.
void merge_neighbours(WindowBlocks& blocks) noexcept;

/// Takes one sample that stands for dt_s. Not finite, or dt <= 0: left out.
void add(WindowBlocks& blocks, double pressure_pa, double flow_m3_s, double dt_s) noexcept;

}  // namespace leeward::control
