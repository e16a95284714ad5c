/// What each kind of bad answer is to one request: the bus against a rig that misbehaves on request.

#include <gtest/gtest.h>

#include "daemon/devices/modbus_bus.hpp"
#include "tests/daemon/rig/running_rig.hpp"

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using namespace std::chrono_literals;
using running::LibraryClient;
using running::RunningRig;

struct BadAnswer {
  Misbehaviour kind;
  BusOutcome outcome;
  const char* words;
};

class ModbusBusFaults : public testing::TestWithParam<BadAnswer> {};

TEST_P(ModbusBusFaults, IsToldForWhatItIsAndOnlyARefusalKeepsTheConnection) {
  const auto [kind, outcome, words] = GetParam();
  RunningRig rig;
  LibraryClient crew(rig.port());
  ASSERT_TRUE(crew.put(reg::kMisbehaviourKind, static_cast<std::uint16_t>(kind)));
  ASSERT_TRUE(crew.put(reg::kMisbehaviourSamples, 60000));
  // Time enough for a busy machine, and half of what `late` and `trickle` take: an answer of 13 bytes at
  // one in 300 ms comes in time byte by byte and is nevertheless too late.
  ASSERT_TRUE(crew.put(reg::kMisbehaviourMs, kind == Misbehaviour::late ? 1200 : 300));
  ModbusBus bus("127.0.0.1", rig.port(), 1, 600ms);
  ASSERT_TRUE(bus.connect(std::chrono::steady_clock::now() + 1s));

  std::array<std::uint16_t, 2> pressure{};
  EXPECT_EQ(bus.read(RegisterTable::input, reg::kBuildingPressure, pressure), outcome);
  EXPECT_NE(bus.last_error().find(words), std::string::npos) << bus.last_error();
  EXPECT_EQ(bus.connected(), outcome == BusOutcome::refused);
}

INSTANTIATE_TEST_SUITE_P(
    Catalogue, ModbusBusFaults,
    testing::Values(BadAnswer{Misbehaviour::silent, BusOutcome::no_answer, "no answer in time"},
                    BadAnswer{Misbehaviour::late, BusOutcome::no_answer, "no answer in time"},
                    BadAnswer{Misbehaviour::garbage, BusOutcome::bad_answer, "garbage"},
                    BadAnswer{Misbehaviour::wrong_transaction, BusOutcome::bad_answer, "wrong transaction"},
                    BadAnswer{Misbehaviour::wrong_unit, BusOutcome::bad_answer, "wrong unit"},
                    BadAnswer{Misbehaviour::closes_mid_frame, BusOutcome::not_connected, "closed by"},
                    BadAnswer{Misbehaviour::stops_mid_frame, BusOutcome::no_answer, "no answer in time"},
                    BadAnswer{Misbehaviour::trickle, BusOutcome::no_answer, "no answer in time"},
                    BadAnswer{Misbehaviour::refuses, BusOutcome::refused, "exception 4"},
                    BadAnswer{Misbehaviour::closes, BusOutcome::not_connected, "closed by"}),
    [](const auto& param) { return "Kind" + std::to_string(static_cast<int>(param.param.kind)); });

}  // namespace
}  // namespace leeward::daemon
