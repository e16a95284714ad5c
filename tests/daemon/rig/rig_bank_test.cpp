#include "daemon/rig/rig_bank.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using namespace std::chrono_literals;

constexpr SteadyTime kBankStart{1s};

double input_float(const RigBank& bank, int address) {
  const std::uint32_t high = *bank.get(RegisterTable::input, address);
  return static_cast<double>(
      std::bit_cast<float>((high << 16U) | *bank.get(RegisterTable::input, address + 1)));
}

std::array<std::uint16_t, 2> float_words(double value) {
  const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(value));
  return {static_cast<std::uint16_t>(bits >> 16U), static_cast<std::uint16_t>(bits & 0xFFFFU)};
}

ModbusException put_word(RigBank& bank, int address, std::uint16_t value) {
  return bank.set(RegisterTable::holding, address, std::span(&value, 1));
}

void drive_fan(RigBank& bank, double demand) {
  const std::uint16_t on = 1;
  EXPECT_EQ(bank.set(RegisterTable::coil, 0, std::span(&on, 1)), ModbusException::none);
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kDemand, float_words(demand)), ModbusException::none);
}

void stop_fan(RigBank& bank) {
  const std::uint16_t off = 0;
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kDemand, float_words(0)), ModbusException::none);
  EXPECT_EQ(bank.set(RegisterTable::coil, 0, std::span(&off, 1)), ModbusException::none);
}

void pass_seconds(RigBank& bank, int seconds) {
  for (int i = 0; i < 10 * seconds; ++i) bank.next_sample();
}

RigBank demo_bank() {
  RigBank bank(sim::HouseSpec{}, 1);
  bank.set_now(kBankStart);
  return bank;
}

TEST(RigBank, ReadingsAreThoseOfTheHouseAndTheCounterCounts) {
  RigBank bank = demo_bank();
  bank.next_sample();
  bank.next_sample();

  const auto read = bank.plant().measure();
  EXPECT_EQ(input_float(bank, reg::kBuildingPressure), static_cast<float>(read.building_pressure_pa));
  EXPECT_EQ(input_float(bank, reg::kFan1Signal), static_cast<float>(read.fans[0].signal_pa));
  EXPECT_EQ(input_float(bank, reg::kIndoorC), static_cast<float>(read.indoor_c));
  EXPECT_EQ(bank.get(RegisterTable::input, reg::kSampleCounter + 1), 2);
  EXPECT_EQ(bank.get(RegisterTable::input, reg::kInputEnd), std::nullopt);
}

TEST(RigBank, DemandCountsOnlyWhileEnabled) {
  RigBank bank = demo_bank();
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kDemand, float_words(0.5)), ModbusException::none);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0);

  drive_fan(bank, 0.5);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0.5);
  EXPECT_EQ(bank.get(RegisterTable::input, reg::kObeyed + 2), 1);
  stop_fan(bank);
  EXPECT_EQ(bank.get(RegisterTable::input, reg::kObeyed + 2), 0);
}

TEST(RigBank, CoveringUncoveringFittingAndTurningMoveTheHouse) {
  RigBank bank = demo_bank();
  drive_fan(bank, 0.5);
  pass_seconds(bank, 20);
  const double covered = input_float(bank, reg::kTruePressure);
  EXPECT_EQ(put_word(bank, reg::kCovered, 0), ModbusException::none);
  pass_seconds(bank, 20);
  const double open = input_float(bank, reg::kTruePressure);
  EXPECT_EQ(put_word(bank, reg::kFitted, 3), ModbusException::none);
  pass_seconds(bank, 20);
  const double fitted = input_float(bank, reg::kTruePressure);
  EXPECT_EQ(put_word(bank, reg::kDirection, 1), ModbusException::none);
  pass_seconds(bank, 30);

  EXPECT_LT(open, covered - 10);
  EXPECT_GT(fitted, open + 5);
  EXPECT_GT(input_float(bank, reg::kTruePressure), 0);
}

TEST(RigBank, AnOpenDoorLetsThePressureGoAndComesBackWhenShut) {
  RigBank bank = demo_bank();
  (void)put_word(bank, reg::kCovered, 0);
  drive_fan(bank, 0.5);
  pass_seconds(bank, 20);
  const double shut = input_float(bank, reg::kTruePressure);

  EXPECT_EQ(put_word(bank, reg::kEvents, 8000), ModbusException::none);  // 0.8 m2
  pass_seconds(bank, 20);
  const double door = input_float(bank, reg::kTruePressure);
  EXPECT_EQ(put_word(bank, reg::kEvents, 0), ModbusException::none);
  pass_seconds(bank, 20);

  EXPECT_GT(door, 0.5 * shut);
  EXPECT_NEAR(input_float(bank, reg::kTruePressure), shut, 2.0);  // absolute, Pa
}

TEST(RigBank, SwappedTubesTurnTheSignOfTheReading) {
  RigBank bank = demo_bank();
  (void)put_word(bank, reg::kCovered, 0);
  drive_fan(bank, 0.5);
  pass_seconds(bank, 20);
  EXPECT_LT(input_float(bank, reg::kBuildingPressure), -10);
  (void)put_word(bank, reg::kEvents + 6, 1);
  pass_seconds(bank, 10);
  EXPECT_GT(input_float(bank, reg::kBuildingPressure), 10);
}

TEST(RigBank, WhatMakesNoSenseIsRefusedAndChangesNothing) {
  RigBank bank = demo_bank();
  const auto refused = ModbusException::illegal_value;
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kDemand, float_words(nan)), refused);
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kTimeout, float_words(-1)), refused);
  EXPECT_EQ(put_word(bank, reg::kFitted, 99), refused);
  EXPECT_EQ(put_word(bank, reg::kCovered, 2), refused);
  EXPECT_EQ(put_word(bank, reg::kTimeoutMode, 3), refused);
  EXPECT_EQ(put_word(bank, reg::kMisbehaviourKind, 99), refused);
  EXPECT_EQ(put_word(bank, 50, 1), ModbusException::illegal_address);
  EXPECT_EQ(put_word(bank, reg::kTimeout + 2, 0), ModbusException::illegal_address);  // there is no fan 2
  EXPECT_EQ(bank.plant().fitted(), 0);
  EXPECT_TRUE(bank.plant().covered());
}

TEST(RigBank, TheDriveStopsByItselfWhenTheWireIsSilentAndStaysOffUntilTold) {
  RigBank bank = demo_bank();
  (void)bank.set(RegisterTable::holding, reg::kTimeout, float_words(1));
  drive_fan(bank, 0.5);

  bank.set_now(kBankStart + 900ms);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0.5);
  bank.set_now(kBankStart + 1100ms);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0);
  EXPECT_EQ(bank.get(RegisterTable::input, reg::kObeyed + 3), 1);
  drive_fan(bank, 0.5);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0);
  stop_fan(bank);
  drive_fan(bank, 0.5);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0.5);
}

TEST(RigBank, TellsWhenADriveBeginsAndCeasesToTurnItsFan) {
  RigBank bank = demo_bank();
  std::vector<std::string> heard;
  bank.listen([&heard](int fan, bool turns, bool tripped) {
    heard.push_back(std::to_string(fan) + (turns ? " on" : tripped ? " timed out" : " off"));
  });
  (void)bank.set(RegisterTable::holding, reg::kTimeout, float_words(1));

  drive_fan(bank, 0.5);
  drive_fan(bank, 0.6);
  stop_fan(bank);
  drive_fan(bank, 0.5);
  bank.set_now(kBankStart + 1100ms);

  EXPECT_EQ(heard, (std::vector<std::string>{"0 on", "0 off", "0 on", "0 timed out"}));
}

TEST(RigBank, WithoutEffectTheDriveRunsOn) {
  RigBank bank = demo_bank();
  (void)put_word(bank, reg::kTimeoutMode, 0);
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kTimeout, float_words(1)), ModbusException::none);
  drive_fan(bank, 0.5);
  bank.set_now(kBankStart + 60s);
  EXPECT_EQ(input_float(bank, reg::kObeyed), 0.5);
}

TEST(RigBank, AnAbsentTimeoutIsNoRegister) {
  RigBank bank = demo_bank();
  (void)put_word(bank, reg::kTimeoutMode, 2);
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kTimeout, float_words(1)),
            ModbusException::illegal_address);
  EXPECT_EQ(bank.get(RegisterTable::holding, reg::kTimeout), std::nullopt);
}

TEST(RigBank, MisbehaviourLastsForItsSamples) {
  RigBank bank = demo_bank();
  (void)put_word(bank, reg::kMisbehaviourKind, static_cast<std::uint16_t>(Misbehaviour::not_a_number));
  EXPECT_EQ(bank.misbehaviour(), Misbehaviour::none);
  (void)put_word(bank, reg::kMisbehaviourSamples, 2);

  bank.next_sample();
  EXPECT_TRUE(std::isnan(input_float(bank, reg::kBuildingPressure)));
  bank.next_sample();
  EXPECT_EQ(bank.misbehaviour(), Misbehaviour::none);
  bank.next_sample();
  EXPECT_FALSE(std::isnan(input_float(bank, reg::kBuildingPressure)));
}

TEST(RigBank, TheCounterCanBeMadeToStand) {
  RigBank bank = demo_bank();
  (void)put_word(bank, reg::kMisbehaviourKind, static_cast<std::uint16_t>(Misbehaviour::counter_stands));
  (void)put_word(bank, reg::kMisbehaviourSamples, 3);
  for (int i = 0; i < 5; ++i) bank.next_sample();
  EXPECT_EQ(bank.get(RegisterTable::input, reg::kSampleCounter + 1), 2);
}

TEST(RigBank, EveryFanHasItsRegisters) {
  sim::HouseSpec house;
  house.fans.push_back(house.fans[0]);
  RigBank bank(house, 1);
  bank.set_now(kBankStart);
  const std::uint16_t on = 1;
  EXPECT_EQ(bank.set(RegisterTable::coil, 1, std::span(&on, 1)), ModbusException::none);
  EXPECT_EQ(bank.set(RegisterTable::holding, reg::kDemand + 2, float_words(0.25)), ModbusException::none);
  EXPECT_EQ(put_word(bank, reg::covered_register(1), 0), ModbusException::none);
  EXPECT_EQ(put_word(bank, reg::fitted_register(1), 1), ModbusException::none);
  pass_seconds(bank, 20);

  EXPECT_EQ(input_float(bank, reg::kObeyed), 0);
  EXPECT_EQ(input_float(bank, reg::kObeyed + 4), 0.25);
  EXPECT_GT(input_float(bank, reg::kOtherFans), 1);
  EXPECT_GT(input_float(bank, reg::kOtherFans + 2), 0.1);
  EXPECT_EQ(bank.plant().fitted(1), 1);
}

}  // namespace
}  // namespace leeward::daemon
