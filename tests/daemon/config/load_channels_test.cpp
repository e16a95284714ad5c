#include "daemon/config/load_channels.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/config/parse_toml.hpp"
#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

// One entry a line, so that a line number names a channel.
const std::string kMapText = R"(channel = [
{name = "building_pressure", table = "input", address = 0, type = "float32"},
{name = "fan1_signal", table = "input", address = 2, type = "float32"},
{name = "fan1_demand", table = "holding", address = 0, type = "float32"},
{name = "fan1_enable", table = "coil", address = 0, type = "bit"},
]
)";

std::vector<std::string> map_errors(const std::string& text, std::size_t fans = 1) {
  Findings findings("map.toml");
  const auto root = parse_toml(text, findings);
  if (root) {
    TableReader reader(*root, "device", findings);
    (void)read_channels(reader, fans);
    reader.finish();
  }
  findings.close();
  return config_test::brief(findings.errors);
}

std::vector<std::string> map_with(const std::string& entry) {
  return map_errors(with(kMapText, "]", entry + "\n]"));
}

TEST(ReadChannels, TakesAWholeMap) { EXPECT_THAT(map_errors(kMapText), IsEmpty()); }

TEST(ReadChannels, ReadsEveryField) {
  Findings findings("map.toml");
  const auto root = parse_toml(
      with(
          kMapText, "]",
          R"({name = "outdoor_c", table = "holding", address = 300, type = "int32", word_order = "little", scale = -0.01, offset = -50},
{name = "sample_counter", table = "input", address = 10, type = "uint16"}])"),
      findings);
  ASSERT_TRUE(root);
  TableReader reader(*root, "device", findings);

  const std::vector<ChannelSpec> channels = read_channels(reader, 1);

  EXPECT_THAT(config_test::brief(findings.errors), IsEmpty());
  ASSERT_EQ(channels.size(), 6U);
  const ChannelSpec& c = channels[4];
  EXPECT_EQ(c.name, "outdoor_c");
  EXPECT_EQ(c.table, RegisterTable::holding);
  EXPECT_EQ(c.address, 300);
  EXPECT_EQ(c.type, RegisterType::int32);
  EXPECT_EQ(c.word_order, WordOrder::little);
  EXPECT_EQ(c.scale, -0.01);
  EXPECT_EQ(c.offset, -50);
  EXPECT_TRUE(has_channel(channels, "sample_counter"));
  EXPECT_FALSE(has_channel(channels, "fan1_speed"));
}

TEST(ReadChannels, RefusesAChannelTwice) {
  EXPECT_THAT(
      map_with(R"({name = "fan1_signal", table = "input", address = 40, type = "float32"})"),
      ElementsAre("6:device.channel[4].name: \"fan1_signal\" is there already; a channel stands once"));
}

TEST(ReadChannels, RefusesARegisterUsedTwice) {
  EXPECT_THAT(
      map_with(R"({name = "indoor_c", table = "input", address = 3, type = "int16"})"),
      ElementsAre("6:device.channel[4].address: is used by fan1_signal already (two registers for 32-bit "
                  "types)"));
  EXPECT_THAT(map_with(R"({name = "indoor_c", table = "holding", address = 2, type = "int16"})"), IsEmpty());
}

TEST(ReadChannels, RefusesNamesThatMeanNothing) {
  EXPECT_THAT(
      map_with(R"({name = "fan2_signal", table = "input", address = 40, type = "float32"})"),
      ElementsAre(HasSubstr("6:device.channel[4].name: must be building_pressure, indoor_c, outdoor_c, "
                            "sample_counter, fan1_signal, fan1_demand, fan1_enable, fan1_speed or "
                            "fan1_timeout, is \"fan2_signal\"")));
}

TEST(ReadChannels, RefusesABitOutsideTheBitTables) {
  EXPECT_THAT(map_errors(with(kMapText, R"(address = 2, type = "float32")", R"(address = 2, type = "bit")")),
              ElementsAre(HasSubstr("3:device.channel[1].type: bit is for the tables coil and discrete")));
}

TEST(ReadChannels, RefusesANumberInABitTable) {
  EXPECT_THAT(map_errors(with(kMapText, R"("coil", address = 0, type = "bit")",
                              R"("coil", address = 0, type = "uint16")")),
              ElementsAre("5:device.channel[3].type: must be bit in the tables coil and discrete"));
  EXPECT_THAT(map_with(R"({name = "fan1_speed", table = "discrete", address = 0, type = "bit"})"),
              ElementsAre("6:device.channel[4].table: fan1_speed is a number, so the table must be input or "
                          "holding"));
}

TEST(ReadChannels, RefusesAnOutputThatCannotBeWritten) {
  EXPECT_THAT(
      map_errors(with(kMapText, R"("holding", address = 0)", R"("input", address = 20)")),
      ElementsAre("4:device.channel[2].table: fan1_demand is written, so the table must be holding or "
                  "coil"));
  EXPECT_THAT(map_errors(with(kMapText, "\"coil\"", "\"discrete\"")),
              ElementsAre(HasSubstr("5:device.channel[3].table: fan1_enable is written")));
}

TEST(ReadChannels, TakesAnEnableInARegister) {
  EXPECT_THAT(map_errors(with(kMapText, R"("coil", address = 0, type = "bit")",
                              R"("holding", address = 9, type = "uint16")")),
              IsEmpty());
  EXPECT_THAT(map_errors(with(kMapText, R"("coil", address = 0, type = "bit")",
                              R"("holding", address = 9, type = "float32")")),
              ElementsAre(HasSubstr("5:device.channel[3].type: fan1_enable is 0 or 1")));
}

TEST(ReadChannels, WantsACounterThatCounts) {
  EXPECT_THAT(map_with(R"({name = "sample_counter", table = "input", address = 10, type = "float32"})"),
              ElementsAre(HasSubstr("6:device.channel[4].type: sample_counter counts")));
  EXPECT_THAT(
      map_with(R"({name = "sample_counter", table = "input", address = 10, type = "uint32", scale = 2})"),
      ElementsAre(HasSubstr("6:device.channel[4].scale: sample_counter is a bare count")));
}

TEST(ReadChannels, RefusesAScaleOfZero) {
  EXPECT_THAT(map_with(R"({name = "indoor_c", table = "input", address = 10, type = "int16", scale = 0})"),
              ElementsAre(HasSubstr("6:device.channel[4].scale: must not be 0")));
  EXPECT_THAT(map_with(R"({name = "indoor_c", table = "input", address = 10, type = "int16", scale = nan})"),
              ElementsAre(HasSubstr("6:device.channel[4].scale: must be -1000000000 to 1000000000, is nan")));
}

TEST(ReadChannels, RefusesAddressesBeyondTheTable) {
  EXPECT_THAT(map_with(R"({name = "indoor_c", table = "input", address = 65536, type = "int16"})"),
              ElementsAre("6:device.channel[4].address: must be 0 to 65535, is 65536"));
  EXPECT_THAT(map_with(R"({name = "indoor_c", table = "input", address = 65535, type = "float32"})"),
              ElementsAre(HasSubstr("6:device.channel[4].address: must leave room for two registers")));
  EXPECT_THAT(map_with(R"({name = "indoor_c", table = "input", address = 65535, type = "int16"})"),
              IsEmpty());
}

TEST(ReadChannels, SaysWhichNeededChannelIsMissing) {
  EXPECT_THAT(
      map_errors(
          with(kMapText, R"({name = "fan1_signal", table = "input", address = 2, type = "float32"},)", "")),
      ElementsAre(HasSubstr("device.channel: needs an entry with name = \"fan1_signal\"")));
  EXPECT_THAT(map_errors(kMapText, 2),
              ElementsAre(HasSubstr("fan2_signal"), HasSubstr("fan2_demand"), HasSubstr("fan2_enable")));
}

}  // namespace
}  // namespace leeward::daemon
