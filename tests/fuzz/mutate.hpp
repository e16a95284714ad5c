#pragma once
/// Seeded changes to an input, so that the short run of the tests is the same each time.

#include <algorithm>
#include <array>
#include <cstdint>
#include <random>
#include <string_view>
#include <vector>

namespace leeward::fuzz {

using Input = std::vector<std::uint8_t>;

class Mutator {
 public:
  explicit Mutator(std::uint64_t seed) : random_(seed) {}

  /// One to eight changes to one of the inputs.
  [[nodiscard]] Input next(const std::vector<Input>& inputs) {
    Input out = inputs[below(inputs.size())];
    for (std::size_t changes = 1 + below(8); changes > 0; --changes)
      change(out, inputs[below(inputs.size())]);
    if (out.size() > kLongest) out.resize(kLongest);
    return out;
  }

 private:
  static constexpr std::size_t kLongest = 8192;
  static constexpr std::array<std::string_view, 12> kWords{
      "nan", "-inf", "1e308", "-1", "0", "\"\"", "null", "[[", "{\"", "99999999", "\r\n", "="};

  std::size_t below(std::size_t count) { return count == 0 ? 0 : random_() % count; }

  void change(Input& out, const Input& other) {
    const std::size_t at = below(out.size() + 1);
    const auto place = out.begin() + static_cast<std::ptrdiff_t>(at);
    const std::size_t length = std::min(1 + below(16), out.size() - at);
    const auto end = place + static_cast<std::ptrdiff_t>(length);
    switch (below(6)) {
      case 0:
        std::for_each(place, end, [&](std::uint8_t& byte) { byte = static_cast<std::uint8_t>(random_()); });
        return;
      case 1:
        if (length > 0) *place ^= static_cast<std::uint8_t>(1U << below(8));
        return;
      case 2:
        out.erase(place, end);
        return;
      case 3:
        out.insert(place, 1 + below(4), static_cast<std::uint8_t>(random_()));
        return;
      case 4: {
        const std::string_view word = kWords[below(kWords.size())];
        out.insert(place, word.begin(), word.end());
        return;
      }
      default: {
        const std::size_t from = below(other.size());
        const auto begin = other.begin() + static_cast<std::ptrdiff_t>(from);
        const std::size_t many = std::min(1 + below(64), other.size() - from);
        const Input piece(begin, begin + static_cast<std::ptrdiff_t>(many));
        out.insert(place, piece.begin(), piece.end());
      }
    }
  }

  std::mt19937_64 random_;
};

}  // namespace leeward::fuzz
