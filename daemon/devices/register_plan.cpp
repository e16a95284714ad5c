#include "daemon/devices/register_plan.hpp"

#include <algorithm>
#include <string_view>

#include "daemon/devices/register_codec.hpp"

namespace leeward::daemon {
namespace {

/// `fan1_signal` is fan 0 and `signal`; other names are no fan's.
struct FanName {
  std::size_t fan = 0;
  std::string_view what;
};

std::optional<FanName> fan_name(std::string_view name) {
  constexpr std::string_view prefix = "fan";
  if (!name.starts_with(prefix) || name.size() < 6 || name[4] != '_') return std::nullopt;
  const int number = name[3] - '0';
  if (number < 1 || number > static_cast<int>(control::kMaxFans)) return std::nullopt;
  return FanName{static_cast<std::size_t>(number - 1), name.substr(5)};
}

std::optional<ChannelRead> as_read(const ChannelSpec& spec) {
  const auto make = [&](ChannelRole role, std::size_t fan = 0) {
    return ChannelRead{.role = role, .fan = fan, .spec = spec, .offset = 0};
  };
  if (spec.name == "building_pressure") return make(ChannelRole::building_pressure);
  if (spec.name == "indoor_c") return make(ChannelRole::indoor_c);
  if (spec.name == "outdoor_c") return make(ChannelRole::outdoor_c);
  if (spec.name == "sample_counter") return make(ChannelRole::sample_counter);
  const auto fan = fan_name(spec.name);
  if (!fan) return std::nullopt;
  if (fan->what == "signal") return make(ChannelRole::fan_signal, fan->fan);
  if (fan->what == "speed") return make(ChannelRole::fan_speed, fan->fan);
  return std::nullopt;
}

void note_output(const ChannelSpec& spec, std::array<FanOutputs, control::kMaxFans>& outputs) {
  const auto fan = fan_name(spec.name);
  if (!fan) return;
  FanOutputs& out = outputs[fan->fan];
  if (fan->what == "demand") out.demand = spec;
  if (fan->what == "enable") out.enable = spec;
  if (fan->what == "timeout") out.timeout = spec;
}

void add_to_blocks(const ChannelRead& read, std::vector<ReadBlock>& blocks) {
  const int end = read.spec.address + word_count(read.spec.type);
  if (!blocks.empty()) {
    ReadBlock& last = blocks.back();
    const bool near = read.spec.address - (last.address + last.count) <= kMaxBlockGap;
    const bool small = end - last.address <= kMaxBlockRegisters;
    if (last.table == read.spec.table && near && small) {
      last.count = std::max(last.count, end - last.address);
      last.channels.push_back(read);
      last.channels.back().offset = static_cast<std::size_t>(read.spec.address - last.address);
      return;
    }
  }
  blocks.push_back({read.spec.table, read.spec.address, end - read.spec.address, {read}});
}

bool has_counter(const ReadBlock& block) {
  return std::ranges::any_of(block.channels,
                             [](const ChannelRead& c) { return c.role == ChannelRole::sample_counter; });
}

}  // namespace

RegisterPlan plan_registers(const std::vector<ChannelSpec>& channels) {
  RegisterPlan plan;
  std::vector<ChannelRead> reads;
  for (const ChannelSpec& spec : channels) {
    note_output(spec, plan.outputs);
    const auto read = as_read(spec);
    if (!read) continue;
    if (read->role == ChannelRole::sample_counter) plan.counter = spec;
    reads.push_back(*read);
  }
  std::ranges::stable_sort(reads, [](const ChannelRead& a, const ChannelRead& b) {
    return std::pair(a.spec.table, a.spec.address) < std::pair(b.spec.table, b.spec.address);
  });
  for (const ChannelRead& read : reads) add_to_blocks(read, plan.blocks);
  std::stable_partition(plan.blocks.begin(), plan.blocks.end(), has_counter);
  return plan;
}

std::vector<ReadBlock> split_block(const ReadBlock& block) {
  std::vector<ReadBlock> out;
  for (ChannelRead read : block.channels) {
    read.offset = 0;
    out.push_back({block.table, read.spec.address, word_count(read.spec.type), {read}});
  }
  return out;
}

}  // namespace leeward::daemon
