#include "daemon/devices/modbus_answer.hpp"

#include <gtest/gtest.h>

#include <map>
#include <random>

namespace leeward::daemon {
namespace {

using AnswerBytes = std::vector<std::uint8_t>;

/// Ten registers and coils of each kind; holding register 9 takes nothing above 5.
class TenRegisters : public RegisterBank {
 public:
  std::optional<std::uint16_t> get(RegisterTable table, int address) const override {
    if (address >= 10) return std::nullopt;
    const auto found = words_.find({table, address});
    return found == words_.end() ? std::uint16_t{0} : found->second;
  }
  ModbusException set(RegisterTable table, int address, std::span<const std::uint16_t> words) override {
    if (address + static_cast<int>(words.size()) > 10) return ModbusException::illegal_address;
    if (address == 9 && words[0] > 5) return ModbusException::illegal_value;
    for (std::size_t i = 0; i < words.size(); ++i) words_[{table, address + static_cast<int>(i)}] = words[i];
    return ModbusException::none;
  }

 private:
  std::map<std::pair<RegisterTable, int>, std::uint16_t> words_;
};

AnswerBytes pdu_of_answer(TenRegisters& bank, const AnswerBytes& pdu) {
  const ModbusHeader header{
      .transaction = 0x0102, .length = static_cast<std::uint16_t>(pdu.size() + 1), .unit = 1};
  const AnswerBytes frame = answer_request(bank, header, pdu);
  EXPECT_EQ(frame[0], 1);
  EXPECT_EQ(frame[1], 2);
  EXPECT_EQ(frame[5], frame.size() - 6);
  return {frame.begin() + kHeaderBytes, frame.end()};
}

// The byte sequences below are written out from the layout of the functions in the MODBUS Application
// Protocol V1.1b3 (from memory); the bus is tested against an independent library besides.
TEST(AnswerRequest, WritesAndReadsRegistersAndCoils) {
  TenRegisters bank;
  EXPECT_EQ(pdu_of_answer(bank, {16, 0, 2, 0, 2, 4, 0x12, 0x34, 0x56, 0x78}), (AnswerBytes{16, 0, 2, 0, 2}));
  EXPECT_EQ(pdu_of_answer(bank, {3, 0, 2, 0, 2}), (AnswerBytes{3, 4, 0x12, 0x34, 0x56, 0x78}));
  EXPECT_EQ(pdu_of_answer(bank, {6, 0, 4, 0, 7}), (AnswerBytes{6, 0, 4, 0, 7}));
  EXPECT_EQ(pdu_of_answer(bank, {3, 0, 4, 0, 1}), (AnswerBytes{3, 2, 0, 7}));
  EXPECT_EQ(pdu_of_answer(bank, {5, 0, 3, 0xFF, 0}), (AnswerBytes{5, 0, 3, 0xFF, 0}));
  EXPECT_EQ(pdu_of_answer(bank, {15, 0, 8, 0, 2, 1, 0x03}), (AnswerBytes{15, 0, 8, 0, 2}));
  EXPECT_EQ(pdu_of_answer(bank, {1, 0, 0, 0, 10}), (AnswerBytes{1, 2, 0x08, 0x03}));
}

TEST(AnswerRequest, RefusesByTheRightException) {
  TenRegisters bank;
  EXPECT_EQ(pdu_of_answer(bank, {3, 0, 9, 0, 2}), (AnswerBytes{0x83, 2}));
  EXPECT_EQ(pdu_of_answer(bank, {6, 0, 9, 0, 6}), (AnswerBytes{0x86, 3}));
  EXPECT_EQ(pdu_of_answer(bank, {7}), (AnswerBytes{0x87, 1}));
  EXPECT_EQ(pdu_of_answer(bank, {3, 0, 0, 0, 0}), (AnswerBytes{0x83, 3}));
  EXPECT_EQ(pdu_of_answer(bank, {3, 0, 0, 0, 126}), (AnswerBytes{0x83, 3}));
  EXPECT_EQ(pdu_of_answer(bank, {16, 0, 0, 0, 2, 4, 1, 2}), (AnswerBytes{0x90, 3}));
}

TEST(AnswerRequest, AnyBytesGetAnAnswerInForm) {
  TenRegisters bank;
  std::mt19937 random(11);
  std::uniform_int_distribution<int> byte(0, 255);
  std::uniform_int_distribution<int> function(0, 17);
  std::uniform_int_distribution<std::size_t> size(0, kMaxPduBytes);
  for (int i = 0; i < 20000; ++i) {
    AnswerBytes pdu(i % 2 == 0 ? size(random) : size(random) % 12);
    for (auto& b : pdu) b = static_cast<std::uint8_t>(i % 3 == 0 ? byte(random) : byte(random) % 12);
    if (!pdu.empty()) pdu[0] = static_cast<std::uint8_t>(function(random));
    const AnswerBytes frame = answer_request(bank, {.transaction = 1, .unit = 1}, pdu);
    ASSERT_GE(frame.size(), kHeaderBytes + 2);
    ASSERT_LE(frame.size(), kMaxFrameBytes);
  }
}

}  // namespace
}  // namespace leeward::daemon
