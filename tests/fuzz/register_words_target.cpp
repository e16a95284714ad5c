// Between register words and values, for any channel that a rig file may describe, and a plan of many
// channels.
#include <cmath>
#include <string>

#include "daemon/devices/register_codec.hpp"
#include "daemon/devices/register_plan.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

using daemon::ChannelSpec;

ChannelSpec any_channel(ByteReader& bytes) {
  static const std::array<std::string, 8> names{"building_pressure", "indoor_c",    "outdoor_c",
                                                "sample_counter",    "fan1_signal", "fan2_speed",
                                                "fan1_demand",       "fan4_timeout"};
  ChannelSpec channel;
  channel.name = names[bytes.below(names.size())];
  channel.table = static_cast<daemon::RegisterTable>(bytes.below(4));
  channel.type = static_cast<daemon::RegisterType>(bytes.below(6));
  channel.word_order = static_cast<daemon::WordOrder>(bytes.below(2));
  channel.address = bytes.word();
  channel.scale = bytes.wild(-100, 100);
  channel.offset = bytes.wild(-100, 100);
  return channel;
}

void there_and_back(const ChannelSpec& channel, ByteReader& bytes) {
  const std::array words{bytes.word(), bytes.word()};
  const double value = daemon::decode_value(channel, words);
  require(daemon::decode_count(channel, words) < daemon::count_modulus(channel.type) ||
              channel.type == daemon::RegisterType::bit,
          "a count is below its modulus");
  const auto encoded = daemon::encode_value(channel, value);
  require(!encoded || std::isfinite(value), "what is no number is never written");
  if (!encoded) return;
  require(encoded->count == daemon::word_count(channel.type), "a value takes the words of its type");
  const double again = daemon::decode_value(channel, encoded->view());
  const bool is_plain = channel.scale == 1 && channel.offset == 0;
  require(!is_plain || again == value, "a plain value comes back as it was");
}

void plan_of(const std::vector<ChannelSpec>& channels) {
  const daemon::RegisterPlan plan = daemon::plan_registers(channels);
  for (const daemon::ReadBlock& block : plan.blocks) {
    require(block.count > 0 && block.count <= daemon::kMaxBlockRegisters + 2, "a block is never too long");
    for (const daemon::ChannelRead& read : block.channels)
      require(read.offset + static_cast<std::size_t>(daemon::word_count(read.spec.type)) <=
                  static_cast<std::size_t>(block.count),
              "each channel lies within its block");
    for (const daemon::ReadBlock& part : daemon::split_block(block))
      require(part.channels.size() == 1 && part.count > 0, "a split block asks for one channel at a time");
  }
}

}  // namespace

void register_words(Bytes bytes) {
  ByteReader reader(bytes);
  std::vector<ChannelSpec> channels;
  while (!reader.empty() && channels.size() < 16) {
    channels.push_back(any_channel(reader));
    there_and_back(channels.back(), reader);
  }
  plan_of(channels);
}

}  // namespace leeward::fuzz
