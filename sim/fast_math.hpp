#pragma once
/// Logarithm and exponential from basic arithmetic alone: several times faster than the library's,
/// two at a time, and the same bits on every machine.

#include <bit>
#include <cstdint>

namespace leeward::sim {

/// Two numbers side by side: as wide as the vector unit of every 64-bit processor.
using Pair = double __attribute__((vector_size(16)));
using PairBits = std::uint64_t __attribute__((vector_size(16)));

namespace fast_math_detail {

// std::bit_cast where the compiler has vectors, for numbers and pairs of numbers alike
inline std::uint64_t bits_of(double x) { return std::bit_cast<std::uint64_t>(x); }
inline double from_bits(std::uint64_t bits) { return std::bit_cast<double>(bits); }
inline PairBits bits_of(Pair x) { return std::bit_cast<PairBits>(x); }
inline Pair from_bits(PairBits bits) { return std::bit_cast<Pair>(bits); }

}  // namespace fast_math_detail

/// Natural logarithm of a number or of a pair.
/// Range    normal numbers above 0; error below 2e-11, absolute or relative, whichever is larger
template <class Real>
inline Real fast_log(Real x) {
  using fast_math_detail::bits_of;
  using fast_math_detail::from_bits;
  // x = 2^e * m with m from sqrt(1/2) to sqrt(2): the cut between octaves is moved there in the bits.
  constexpr std::uint64_t one = 0x3ff0000000000000U;
  constexpr std::uint64_t sqrt_half = 0x3fe6a09e667f3bcdU;
  constexpr std::uint64_t mantissa = 0x000fffffffffffffU;
  constexpr std::uint64_t two_to_52 = 0x4330000000000000U;
  const auto moved = bits_of(x) + (one - sqrt_half);
  // An integer in the low bits of 2^52 is 2^52 plus that integer.
  const Real e = from_bits((moved >> 52U) | two_to_52) - (4503599627370496.0 + 1023);
  const Real m = from_bits((moved & mantissa) + sqrt_half);
  // ln m = 2 artanh(s), |s| <= 0.172
  const Real s = (m - 1) / (m + 1);
  const Real s2 = s * s;
  const Real s4 = s2 * s2;
  const Real low = (2.0 / 3 + s2 * (2.0 / 5)) + s4 * (2.0 / 7 + s2 * (2.0 / 9));
  const Real high = 2.0 / 11 + s2 * (2.0 / 13);
  return e * 0.69314718055994531 + (2 * s + s * s2 * (low + s4 * s4 * high));
}

/// e to the power of a number or of each of a pair.
/// Range    |x| up to 700, else nonsense; relative error below 1e-10
template <class Real>
inline Real fast_exp(Real x) {
  using fast_math_detail::bits_of;
  using fast_math_detail::from_bits;
  // Adding 1.5 * 2^52 rounds to a whole number, which then stands in the low bits.
  constexpr double shift = 6755399441055744.0;
  const Real shifted = x * 1.4426950408889634 + shift;
  const Real whole = shifted - shift;
  const Real r = x - whole * 0.69314718055994531;  // |r| <= 0.347
  const Real r2 = r * r;
  const Real r4 = r2 * r2;
  const Real low = (1 + r) + r2 * (1.0 / 2 + r * (1.0 / 6));
  const Real middle = (1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720 + r * (1.0 / 5040));
  const Real high = 1.0 / 40320 + r * (1.0 / 362880);
  const Real fraction = low + r4 * (middle + r4 * high);
  return fraction * from_bits((bits_of(shifted) + 1023U) << 52U);
}

/// x to the power y, for x above 0 and a result within e^-700 to e^700.
template <class Real>
inline Real fast_pow(Real x, Real y) {
  return fast_exp(y * fast_log(x));
}

}  // namespace leeward::sim
