#pragma once
/// A vector of at most N trivially copyable values held in place: the engine's state must be one
/// value that can be copied and compared without allocation.

#include <array>
#include <cstddef>

namespace leeward::control {

template <class T, std::size_t N>
class FixedVector {
 public:
  using value_type = T;
  static constexpr std::size_t capacity() { return N; }
  [[nodiscard]] constexpr std::size_t size() const { return size_; }
  [[nodiscard]] constexpr bool empty() const { return size_ == 0; }
  [[nodiscard]] constexpr bool full() const { return size_ == N; }
  /// @returns false and leaves the vector as it is when it is full
  constexpr bool push_back(const T& v) {
    if (full()) return false;
    items_[size_++] = v;
    return true;
  }
  constexpr void pop_back() {
    if (size_ > 0) items_[--size_] = T{};
  }
  constexpr void erase_at(std::size_t i) {
    if (i >= size_) return;
    for (std::size_t k = i; k + 1 < size_; ++k) items_[k] = items_[k + 1];
    pop_back();
  }
  constexpr void clear() {
    while (size_ > 0) pop_back();
  }
  constexpr T& operator[](std::size_t i) { return items_[i]; }
  constexpr const T& operator[](std::size_t i) const { return items_[i]; }
  constexpr T& back() { return items_[size_ - 1]; }
  constexpr const T& back() const { return items_[size_ - 1]; }
  constexpr T* begin() { return items_.data(); }
  constexpr T* end() { return items_.data() + size_; }
  constexpr const T* begin() const { return items_.data(); }
  constexpr const T* end() const { return items_.data() + size_; }
  friend constexpr bool operator==(const FixedVector& a, const FixedVector& b) {
    if (a.size_ != b.size_) return false;
    for (std::size_t i = 0; i < a.size_; ++i)
      if (!(a.items_[i] == b.items_[i])) return false;
    return true;
  }

 private:
  std::array<T, N> items_{};
  std::size_t size_ = 0;
};

}  // namespace leeward::control
