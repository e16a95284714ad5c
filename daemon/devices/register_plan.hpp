#pragma once
/// From the channels of a rig file to the few requests that read them all, and the outputs of each fan.

#include <array>
#include <optional>
#include <vector>

#include "control/sample.hpp"
#include "daemon/config/rig_spec.hpp"

namespace leeward::daemon {

/// What a readable channel means. The names in a rig file are `building_pressure`, `fan1_signal`, ...
enum class ChannelRole : std::uint8_t {
  building_pressure,
  indoor_c,
  outdoor_c,
  fan_signal,
  fan_speed,
  sample_counter
};

/// A readable channel and where its words lie in the answer to its block.
struct ChannelRead {
  ChannelRole role = ChannelRole::building_pressure;
  std::size_t fan = 0;
  ChannelSpec spec;
  std::size_t offset = 0;
};

/// One request and the channels that it answers.
struct ReadBlock {
  RegisterTable table = RegisterTable::input;
  int address = 0;
  int count = 0;
  std::vector<ChannelRead> channels;
};

struct FanOutputs {
  std::optional<ChannelSpec> demand;
  std::optional<ChannelSpec> enable;
  std::optional<ChannelSpec> timeout;
};

struct RegisterPlan {
  std::vector<ReadBlock> blocks;  ///< the one with the sample counter, where there is one, comes first
  std::array<FanOutputs, control::kMaxFans> outputs;
  std::optional<ChannelSpec> counter;
};

/// Neighbours no further apart than this are read in one request ...
inline constexpr int kMaxBlockGap = 8;
/// ... of at most this many registers: a device may take up to 125.
inline constexpr int kMaxBlockRegisters = 120;

/// Channels whose name says nothing to us are left out; the loader has refused them already.
[[nodiscard]] RegisterPlan plan_registers(const std::vector<ChannelSpec>& channels);

/// One block a channel: for a device that refuses to read across a gap in its map.
[[nodiscard]] std::vector<ReadBlock> split_block(const ReadBlock& block);

}  // namespace leeward::daemon
