#pragma once
/// A short text held in place, UTF-8, cut at N bytes. Loaders refuse longer text before it gets here.

#include <array>
#include <cstddef>
#include <string_view>

namespace leeward::control {

template <std::size_t N>
class FixedText {
 public:
  static constexpr std::size_t capacity() { return N; }
  constexpr FixedText() = default;
  constexpr FixedText(std::string_view s) {  // NOLINT: a name is written where a name is wanted
    size_ = s.size() < N ? s.size() : N;
    for (std::size_t i = 0; i < size_; ++i) bytes_[i] = s[i];
  }
  constexpr FixedText(const char* s) : FixedText(std::string_view(s)) {}  // NOLINT: see above
  [[nodiscard]] constexpr std::string_view view() const { return {bytes_.data(), size_}; }
  [[nodiscard]] constexpr bool empty() const { return size_ == 0; }
  friend constexpr bool operator==(const FixedText& a, const FixedText& b) { return a.view() == b.view(); }
  friend constexpr bool operator==(const FixedText& a, std::string_view b) { return a.view() == b; }

 private:
  std::array<char, N> bytes_{};
  std::size_t size_ = 0;
};

using Name = FixedText<48>;
using Line = FixedText<200>;

}  // namespace leeward::control
