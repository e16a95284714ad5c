#include "daemon/config/load_channels.hpp"

#include <algorithm>
#include <cmath>

#include "control/sample.hpp"
#include "daemon/config/identity_keys.hpp"
#include "daemon/config/near_key.hpp"

namespace leeward::daemon {
namespace {

constexpr std::array kTables = std::to_array<Choice<RegisterTable>>({{"input", RegisterTable::input},
                                                                     {"holding", RegisterTable::holding},
                                                                     {"coil", RegisterTable::coil},
                                                                     {"discrete", RegisterTable::discrete}});
constexpr std::array kTypes = std::to_array<Choice<RegisterType>>({{"int16", RegisterType::int16},
                                                                   {"uint16", RegisterType::uint16},
                                                                   {"int32", RegisterType::int32},
                                                                   {"uint32", RegisterType::uint32},
                                                                   {"float32", RegisterType::float32},
                                                                   {"bit", RegisterType::bit}});
constexpr std::array kWordOrders =
    std::to_array<Choice<WordOrder>>({{"big", WordOrder::big}, {"little", WordOrder::little}});

constexpr IntegerRange kAddress{0, 65535, ""};
constexpr NumberRange kFactor{-1e9, 1e9, ""};
constexpr double kLeastScale = 1e-9;

bool is_bit_table(RegisterTable table) {
  return table == RegisterTable::coil || table == RegisterTable::discrete;
}

int words_of(RegisterType type) {
  switch (type) {
    case RegisterType::int32:
    case RegisterType::uint32:
    case RegisterType::float32:
      return 2;
    default:
      return 1;
  }
}

std::string fan_channel(std::size_t fan, const char* what) {
  return "fan" + std::to_string(fan + 1) + "_" + what;
}

std::vector<std::string> known_names(std::size_t fans) {
  std::vector<std::string> names{"building_pressure", "indoor_c", "outdoor_c", "sample_counter"};
  for (std::size_t fan = 0; fan < fans; ++fan)
    for (const char* what : {"signal", "demand", "enable", "speed", "timeout"})
      names.push_back(fan_channel(fan, what));
  return names;
}

std::vector<std::string> needed_names(std::size_t fans) {
  std::vector<std::string> names{"building_pressure"};
  for (std::size_t fan = 0; fan < fans; ++fan)
    for (const char* what : {"signal", "demand", "enable"}) names.push_back(fan_channel(fan, what));
  return names;
}

bool is_written(const std::string& name) {
  return name.ends_with("_demand") || name.ends_with("_enable") || name.ends_with("_timeout");
}

void check_table_and_type(TableReader& entry, const ChannelSpec& c) {
  if (is_bit_table(c.table) && c.type != RegisterType::bit)
    entry.error("type", "must be bit in the tables coil and discrete");
  if (!is_bit_table(c.table) && c.type == RegisterType::bit)
    entry.error(
        "type",
        "bit is for the tables coil and discrete; here it is int16, uint16, int32, uint32 or float32");
  if (is_written(c.name) && (c.table == RegisterTable::input || c.table == RegisterTable::discrete))
    entry.error("table", c.name + " is written, so the table must be holding or coil");
}

void check_use(TableReader& entry, const ChannelSpec& c) {
  const bool enable = c.name.ends_with("_enable");
  const bool counter = c.name == "sample_counter";
  if (is_bit_table(c.table) && !enable)
    entry.error("table", c.name + " is a number, so the table must be " +
                             (is_written(c.name) ? "holding" : "input or holding"));
  if (enable && !is_bit_table(c.table) && c.type == RegisterType::float32)
    entry.error("type", c.name + " is 0 or 1: int16, uint16, int32 or uint32 here, or bit in the table coil");
  if (counter && c.type == RegisterType::float32)
    entry.error("type", "sample_counter counts: int16, uint16, int32 or uint32");
  if ((counter || enable) && (c.scale != 1 || c.offset != 0))
    entry.error("scale", c.name + " is a bare count: scale must be 1 and offset 0");
  if (c.address + words_of(c.type) - 1 > kAddress.high)
    entry.error("address", "must leave room for two registers, so at most 65534");
}

/// Registers of a table that a channel takes, to find two channels in one place.
bool overlap(const ChannelSpec& a, const ChannelSpec& b) {
  return a.table == b.table && a.address < b.address + words_of(b.type) &&
         b.address < a.address + words_of(a.type);
}

void check_against(TableReader& entry, const ChannelSpec& c, const std::vector<ChannelSpec>& others) {
  for (const ChannelSpec& other : others) {
    if (other.name == c.name) {
      entry.error("name", "\"" + c.name + "\" is there already; a channel stands once");
      return;
    }
    if (overlap(c, other)) {
      entry.error("address", "is used by " + other.name + " already (two registers for 32-bit types)");
      return;
    }
  }
}

std::optional<ChannelSpec> read_channel(TableReader& entry, const std::vector<std::string>& names) {
  ChannelSpec c;
  const std::size_t errors_before = entry.findings().errors.size();
  const auto name = entry.word("name", names, Need::required);
  entry.choice<RegisterTable>("table", c.table, kTables, Need::required);
  entry.integer("address", c.address, kAddress, Need::required);
  entry.choice<RegisterType>("type", c.type, kTypes, Need::required);
  entry.choice<WordOrder>("word_order", c.word_order, kWordOrders);
  if (entry.number("scale", c.scale, kFactor) && std::abs(c.scale) < kLeastScale)
    entry.error("scale", "must not be 0 (size at least " + number_text(kLeastScale) + ")");
  entry.number("offset", c.offset, kFactor);
  (void)read_identity(entry);
  entry.finish();
  if (!name || entry.findings().errors.size() != errors_before) return std::nullopt;
  c.name = names[*name];
  check_table_and_type(entry, c);
  if (entry.findings().errors.size() == errors_before) check_use(entry, c);
  return c;
}

}  // namespace

bool has_channel(const std::vector<ChannelSpec>& channels, std::string_view name) {
  return std::any_of(channels.begin(), channels.end(), [&](const ChannelSpec& c) { return c.name == name; });
}

std::vector<ChannelSpec> read_channels(TableReader& device, std::size_t fans) {
  const std::vector<std::string> names = known_names(fans);
  std::vector<ChannelSpec> channels;
  for (TableReader& entry : device.tables("channel", kMaxChannels, Need::required)) {
    const auto channel = read_channel(entry, names);
    if (!channel) continue;
    check_against(entry, *channel, channels);
    channels.push_back(*channel);
  }
  if (channels.empty()) return channels;
  for (const std::string& name : needed_names(fans))
    if (!has_channel(channels, name))
      device.conclude("channel", "needs an entry with name = \"" + name + "\"");
  return channels;
}

}  // namespace leeward::daemon
