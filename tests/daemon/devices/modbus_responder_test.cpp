#include "daemon/devices/modbus_responder.hpp"

#include <gtest/gtest.h>

#include <algorithm>
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

/// A request of unit 1 and transaction 0x0102.
AnswerBytes frame_around(const AnswerBytes& pdu) {
  const std::size_t length = pdu.size() + 1;
  AnswerBytes frame(length + 6);
  frame[0] = 1;
  frame[1] = 2;
  frame[4] = static_cast<std::uint8_t>(length >> 8U);
  frame[5] = static_cast<std::uint8_t>(length & 0xFFU);
  frame[6] = 1;
  std::ranges::copy(pdu, frame.begin() + 7);
  return frame;
}

class AnswerRequest : public testing::Test {
 protected:
  AnswerBytes pdu_of_answer(const AnswerBytes& pdu) {
    const AnswerBytes frame = responder_.answer(bank_, frame_around(pdu));
    EXPECT_GE(frame.size(), 9U);
    if (frame.size() < 9) return {};
    EXPECT_EQ(frame[0], 1);
    EXPECT_EQ(frame[1], 2);
    EXPECT_EQ(frame[5], frame.size() - 6);
    EXPECT_EQ(frame[6], 1);
    return {frame.begin() + 7, frame.end()};
  }
  TenRegisters bank_;
  ModbusResponder responder_;
};

// The byte sequences below are written out from the layout of the functions in the MODBUS Application
// Protocol V1.1b3 (from memory).
TEST_F(AnswerRequest, WritesAndReadsRegistersAndCoils) {
  EXPECT_EQ(pdu_of_answer({16, 0, 2, 0, 2, 4, 0x12, 0x34, 0x56, 0x78}), (AnswerBytes{16, 0, 2, 0, 2}));
  EXPECT_EQ(pdu_of_answer({3, 0, 2, 0, 2}), (AnswerBytes{3, 4, 0x12, 0x34, 0x56, 0x78}));
  EXPECT_EQ(pdu_of_answer({6, 0, 4, 0, 7}), (AnswerBytes{6, 0, 4, 0, 7}));
  EXPECT_EQ(pdu_of_answer({3, 0, 4, 0, 1}), (AnswerBytes{3, 2, 0, 7}));
  EXPECT_EQ(pdu_of_answer({5, 0, 3, 0xFF, 0}), (AnswerBytes{5, 0, 3, 0xFF, 0}));
  EXPECT_EQ(pdu_of_answer({15, 0, 8, 0, 2, 1, 0x03}), (AnswerBytes{15, 0, 8, 0, 2}));
  EXPECT_EQ(pdu_of_answer({1, 0, 0, 0, 10}), (AnswerBytes{1, 2, 0x08, 0x03}));
}

TEST_F(AnswerRequest, RefusesByTheRightException) {
  EXPECT_EQ(pdu_of_answer({3, 0, 9, 0, 2}), (AnswerBytes{0x83, 2}));
  EXPECT_EQ(pdu_of_answer({6, 0, 9, 0, 6}), (AnswerBytes{0x86, 3}));
  EXPECT_EQ(pdu_of_answer({7}), (AnswerBytes{0x87, 1}));
  EXPECT_EQ(pdu_of_answer({3, 0, 0, 0, 0}), (AnswerBytes{0x83, 3}));
  EXPECT_EQ(pdu_of_answer({3, 0, 0, 0, 126}), (AnswerBytes{0x83, 3}));
  EXPECT_EQ(pdu_of_answer({16, 0, 0, 0, 2, 4, 1, 2}), (AnswerBytes{0x90, 3}));
}

/// A frame that is longer or shorter than its function takes leaves nothing behind for the next one.
TEST_F(AnswerRequest, AMalformedRequestIsRefusedAndTheNextIsAnswered) {
  const std::vector<AnswerBytes> malformed{
      {3}, {3, 0, 0}, {3, 0, 0, 0, 1, 9, 9, 9}, {16, 0, 0, 0, 1, 2}, {6, 0, 4, 0, 7, 0}};
  for (const AnswerBytes& pdu : malformed) {
    const auto refusal = static_cast<std::uint8_t>(pdu[0] | 0x80U);
    EXPECT_EQ(pdu_of_answer(pdu), (AnswerBytes{refusal, 3}));
    EXPECT_EQ(pdu_of_answer({3, 0, 0, 0, 1}), (AnswerBytes{3, 2, 0, 0}));
  }
  EXPECT_EQ(pdu_of_answer({43, 14, 1, 0}), (AnswerBytes{0xAB, 1}));
  EXPECT_EQ(pdu_of_answer({3, 0, 0, 0, 1}), (AnswerBytes{3, 2, 0, 0}));
}

TEST_F(AnswerRequest, ARefusalByOrderSaysItsReason) {
  EXPECT_EQ(responder_.refuse(frame_around({3, 0, 0, 0, 1}), ModbusException::failure),
            (AnswerBytes{1, 2, 0, 0, 0, 3, 1, 0x83, 4}));
}

TEST_F(AnswerRequest, AFunctionThatIsItselfAnExceptionHasNoAnswer) {
  EXPECT_TRUE(responder_.answer(bank_, frame_around({0x83, 2})).empty());
}

TEST_F(AnswerRequest, AnyBytesGetAnAnswerInForm) {
  std::mt19937 random(11);
  std::uniform_int_distribution<int> byte(0, 255);
  std::uniform_int_distribution<int> function(0, 17);
  std::uniform_int_distribution<std::size_t> size(0, kMaxFrameBytes - kFunctionAt);
  for (int i = 0; i < 20000; ++i) {
    AnswerBytes pdu(i % 2 == 0 ? size(random) : size(random) % 12);
    for (auto& b : pdu) b = static_cast<std::uint8_t>(i % 3 == 0 ? byte(random) : byte(random) % 12);
    if (!pdu.empty()) pdu[0] = static_cast<std::uint8_t>(function(random));
    if (pdu.empty()) continue;  // the server takes it for garbage
    const AnswerBytes frame = responder_.answer(bank_, frame_around(pdu));
    ASSERT_GE(frame.size(), kFunctionAt + 2);
    ASSERT_LE(frame.size(), kMaxFrameBytes);
  }
}

}  // namespace
}  // namespace leeward::daemon
