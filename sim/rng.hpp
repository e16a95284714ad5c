#pragma once
/// A small seeded generator that is part of the plant's state: copyable, comparable, the same bits
/// on every machine (only integer arithmetic and IEEE + - * / sqrt).

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

#include "sim/fast_math.hpp"

namespace leeward::sim {

/// Spreads a seed; two streams of one seed differ in `stream`.
/// Source   splitmix64, Steele, Lea and Flood 2014 (constants from memory)
constexpr std::uint64_t split_mix(std::uint64_t& state) {
  state += 0x9e3779b97f4a7c15U;
  std::uint64_t z = state;
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
  return z ^ (z >> 31U);
}

/// Source   xoshiro256++, Blackman and Vigna 2019 (from memory; the tests hold its statistics)
class Rng {
 public:
  explicit constexpr Rng(std::uint64_t seed = 0, std::uint64_t stream = 0) {
    std::uint64_t state = seed + stream * 0xd1342543de82ef95U;
    for (std::uint64_t& word : words_) word = split_mix(state);
  }

  constexpr std::uint64_t next() {
    const std::uint64_t result = std::rotl(words_[0] + words_[3], 23) + words_[0];
    const std::uint64_t shifted = words_[1] << 17U;
    words_[2] ^= words_[0];
    words_[3] ^= words_[1];
    words_[1] ^= words_[2];
    words_[0] ^= words_[3];
    words_[2] ^= shifted;
    words_[3] = std::rotl(words_[3], 45);
    return result;
  }

  /// 0 up to, but not including, 1.
  constexpr double uniform() { return static_cast<double>(next() >> 11U) * 0x1p-53; }
  constexpr double uniform(double low, double high) { return low + (high - low) * uniform(); }
  double log_uniform(double low, double high) { return fast_exp(uniform(fast_log(low), fast_log(high))); }

  /// Standard normal, by the polar method; keeps no spare, so that the state stays one thing.
  double normal() {
    for (;;) {
      const double x = uniform(-1, 1);
      const double y = uniform(-1, 1);
      const double r2 = x * x + y * y;
      if (r2 < 1 && r2 > 0) return x * std::sqrt(-2 * fast_log(r2) / r2);
    }
  }

  /// Nearly normal, and three times as fast: the sum of eight uniforms of 16 bits. Mean 0, variance 1,
  /// kurtosis 2.85, never beyond 4.9.
  constexpr double quick_normal() {
    const std::int64_t sum = sum_of_four(next()) + sum_of_four(next());
    // Eight of variance (2^32 - 1) / 12 each about a mean of 8 * 32767.5.
    return static_cast<double>(sum - 262140) * 1.8688123649e-5;
  }

  /// Four independent uniforms of mean 0 and variance 1 from one draw: for filters that add up many.
  constexpr std::array<double, 4> four_uniforms() {
    const std::uint64_t bits = next();
    const auto one = [bits](unsigned at) {
      return (static_cast<double>(static_cast<std::int32_t>((bits >> at) & 0xffffU)) - 32767.5) *
             5.2857995842606e-5;
    };
    return {one(0), one(16), one(32), one(48)};
  }

  bool operator==(const Rng&) const = default;

 private:
  static constexpr std::int64_t sum_of_four(std::uint64_t bits) {
    return static_cast<std::int64_t>((bits & 0xffffU) + ((bits >> 16U) & 0xffffU) +
                                     ((bits >> 32U) & 0xffffU) + (bits >> 48U));
  }
  std::array<std::uint64_t, 4> words_{};
};

}  // namespace leeward::sim
