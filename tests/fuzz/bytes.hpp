#pragma once
/// Takes decisions out of the bytes that a fuzzer chose; after their end everything is 0.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <string_view>

namespace leeward::fuzz {

using Bytes = std::span<const std::uint8_t>;

[[nodiscard]] inline std::string_view as_text(Bytes bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

class ByteReader {
 public:
  explicit ByteReader(Bytes bytes) : bytes_(bytes) {}

  [[nodiscard]] bool empty() const { return bytes_.empty(); }
  [[nodiscard]] Bytes rest() const { return bytes_; }

  std::uint8_t byte() {
    if (bytes_.empty()) return 0;
    const std::uint8_t value = bytes_.front();
    bytes_ = bytes_.subspan(1);
    return value;
  }
  std::uint16_t word() { return static_cast<std::uint16_t>(byte() | byte() << 8U); }
  /// 0 to less than `count`.
  std::size_t below(std::size_t count) { return count == 0 ? 0 : byte() % count; }
  bool flag() { return (byte() & 1U) != 0; }
  Bytes take(std::size_t count) {
    const Bytes taken = bytes_.first(std::min(count, bytes_.size()));
    bytes_ = bytes_.subspan(taken.size());
    return taken;
  }
  /// low to high in 256 steps.
  double between(double low, double high) { return low + (high - low) * byte() / 255.0; }
  /// Half of the time within low..high, else what breaks arithmetic.
  double wild(double low, double high) {
    using limits = std::numeric_limits<double>;
    constexpr std::array odd{limits::quiet_NaN(),
                             limits::infinity(),
                             -limits::infinity(),
                             limits::max(),
                             limits::lowest(),
                             limits::min(),
                             limits::denorm_min(),
                             -0.0,
                             0.0,
                             -1.0,
                             1e-9,
                             1e9,
                             1e18,
                             -1e18,
                             0.5,
                             100.0};
    const std::uint8_t choice = byte();
    return choice < 128 ? low + (high - low) * choice / 127.0 : odd[choice % odd.size()];
  }

 private:
  Bytes bytes_;
};

}  // namespace leeward::fuzz
