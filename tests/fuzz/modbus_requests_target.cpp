// What a client sends to the serving end: every request is answered in form, or not at all.
#include <map>

#include "daemon/devices/modbus_responder.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

/// Registers 0 to 199 of each table.
class SmallBank : public daemon::RegisterBank {
 public:
  [[nodiscard]] std::optional<std::uint16_t> get(daemon::RegisterTable table, int address) const override {
    if (address < 0 || address >= kSize) return std::nullopt;
    return static_cast<std::uint16_t>(address + static_cast<int>(table));
  }
  daemon::ModbusException set(daemon::RegisterTable table, int address,
                              std::span<const std::uint16_t> words) override {
    require(table == daemon::RegisterTable::coil || table == daemon::RegisterTable::holding,
            "only coils and holding registers are written");
    require(address >= 0 && !words.empty() && words.size() <= 1968, "a write has its place and size");
    if (address + static_cast<int>(words.size()) > kSize) return daemon::ModbusException::illegal_address;
    return daemon::ModbusException::none;
  }

 private:
  static constexpr int kSize = 200;
};

void judge(std::span<const std::uint8_t> request, const std::vector<std::uint8_t>& answer) {
  if (answer.empty()) return;
  require(answer.size() > daemon::kFunctionAt + 1 && answer.size() <= daemon::kMaxFrameBytes,
          "an answer is a whole frame");
  require(daemon::kUnitAt + daemon::word_at(answer, daemon::kLengthAt) == answer.size(),
          "an answer is as long as it says");
  const int function = request[daemon::kFunctionAt];
  const int answered = answer[daemon::kFunctionAt];
  require(answered == function || answered == (function | daemon::kExceptionFlag),
          "an answer is to the function that was asked");
}

}  // namespace

void modbus_requests(Bytes bytes) {
  static daemon::ModbusResponder responder;
  SmallBank bank;
  ByteReader reader(bytes);
  while (!reader.empty()) {
    const std::uint8_t choice = reader.byte();
    const Bytes taken = reader.take(choice & 0x3FU);
    std::vector<std::uint8_t> frame(taken.begin(), taken.end());
    const bool has_length = frame.size() > daemon::kUnitAt && (choice & 0x80U) == 0;
    if (has_length) {
      frame[daemon::kLengthAt] = 0;
      frame[daemon::kLengthAt + 1] = static_cast<std::uint8_t>(frame.size() - daemon::kUnitAt);
      frame[daemon::kProtocolAt] = frame[daemon::kProtocolAt + 1] = 0;
    }
    judge(frame, responder.answer(bank, frame));
  }
}

}  // namespace leeward::fuzz
