#include "daemon/devices/register_plan.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

ChannelSpec plan_channel(std::string name, RegisterTable table, int address,
                         RegisterType type = RegisterType::float32) {
  return {.name = std::move(name), .table = table, .address = address, .type = type};
}

TEST(RegisterPlan, NeighboursComeInOneRequest) {
  const auto plan =
      plan_registers({plan_channel("fan1_signal", RegisterTable::input, 2),
                      plan_channel("building_pressure", RegisterTable::input, 0),
                      plan_channel("sample_counter", RegisterTable::input, 10, RegisterType::uint32)});

  ASSERT_EQ(plan.blocks.size(), 1U);
  EXPECT_EQ(plan.blocks[0].address, 0);
  EXPECT_EQ(plan.blocks[0].count, 12);
  EXPECT_EQ(plan.blocks[0].channels[1].offset, 2U);
  EXPECT_TRUE(plan.counter);
}

TEST(RegisterPlan, AGapOfMoreThanEightOrAnotherTableIsAnotherRequest) {
  const auto plan = plan_registers({plan_channel("building_pressure", RegisterTable::input, 0),
                                    plan_channel("fan1_signal", RegisterTable::input, 10),
                                    plan_channel("fan2_signal", RegisterTable::input, 21),
                                    plan_channel("indoor_c", RegisterTable::holding, 12)});

  ASSERT_EQ(plan.blocks.size(), 3U);
  EXPECT_EQ(plan.blocks[0].count, 12);
  EXPECT_EQ(plan.blocks[1].address, 21);
  EXPECT_EQ(plan.blocks[2].table, RegisterTable::holding);
}

TEST(RegisterPlan, NoRequestIsLongerThanADeviceTakes) {
  std::vector<ChannelSpec> channels;
  for (int i = 0; i < 100; ++i) channels.push_back(plan_channel("indoor_c", RegisterTable::input, 2 * i));
  for (const ReadBlock& block : plan_registers(channels).blocks) EXPECT_LE(block.count, kMaxBlockRegisters);
}

TEST(RegisterPlan, TheCounterIsAskedForFirst) {
  const auto plan = plan_registers({plan_channel("building_pressure", RegisterTable::input, 0),
                                    plan_channel("sample_counter", RegisterTable::holding, 50)});
  EXPECT_EQ(plan.blocks[0].channels[0].role, ChannelRole::sample_counter);
}

TEST(RegisterPlan, OutputsBelongToTheirFanAndAreNotRead) {
  const auto plan = plan_registers({plan_channel("fan1_demand", RegisterTable::holding, 0),
                                    plan_channel("fan2_enable", RegisterTable::coil, 1, RegisterType::bit),
                                    plan_channel("fan4_timeout", RegisterTable::holding, 10),
                                    plan_channel("fan5_demand", RegisterTable::holding, 20),
                                    plan_channel("fan_demand", RegisterTable::holding, 30)});

  EXPECT_TRUE(plan.blocks.empty());
  EXPECT_TRUE(plan.outputs[0].demand);
  EXPECT_TRUE(plan.outputs[1].enable);
  EXPECT_TRUE(plan.outputs[3].timeout);
  EXPECT_FALSE(plan.outputs[1].demand);
}

TEST(RegisterPlan, ABlockFallsApartIntoItsChannels) {
  const auto plan =
      plan_registers({plan_channel("building_pressure", RegisterTable::input, 0),
                      plan_channel("fan1_speed", RegisterTable::input, 8, RegisterType::uint16)});
  const auto parts = split_block(plan.blocks[0]);

  ASSERT_EQ(parts.size(), 2U);
  EXPECT_EQ(parts[1].address, 8);
  EXPECT_EQ(parts[1].count, 1);
  EXPECT_EQ(parts[1].channels[0].offset, 0U);
}

}  // namespace
}  // namespace leeward::daemon
