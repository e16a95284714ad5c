#include "daemon/devices/register_codec.hpp"

#include <bit>
#include <cmath>
#include <limits>

namespace leeward::daemon {
namespace {

std::uint32_t joined(const ChannelSpec& channel, std::span<const std::uint16_t> words) {
  const bool big = channel.word_order == WordOrder::big;
  const std::uint32_t high = big ? words[0] : words[1];
  const std::uint32_t low = big ? words[1] : words[0];
  return (high << 16U) | low;
}

RegisterWords split(const ChannelSpec& channel, std::uint32_t bits) {
  const auto high = static_cast<std::uint16_t>(bits >> 16U);
  const auto low = static_cast<std::uint16_t>(bits & 0xFFFFU);
  RegisterWords out;
  out.count = 2;
  out.words = channel.word_order == WordOrder::big ? std::array{high, low} : std::array{low, high};
  return out;
}

RegisterWords single(std::uint16_t word) { return {.words = {word, 0}, .count = 1}; }

template <class Int>
Int saturated(double raw) {
  constexpr auto low = static_cast<double>(std::numeric_limits<Int>::min());
  constexpr auto high = static_cast<double>(std::numeric_limits<Int>::max());
  if (raw <= low) return std::numeric_limits<Int>::min();
  if (raw >= high) return std::numeric_limits<Int>::max();
  return static_cast<Int>(std::nearbyint(raw));
}

float saturated_float(double raw) {
  constexpr double high = std::numeric_limits<float>::max();
  return static_cast<float>(raw > high ? high : raw < -high ? -high : raw);
}

double raw_value(const ChannelSpec& channel, std::span<const std::uint16_t> words) {
  switch (channel.type) {
    case RegisterType::int16:
      return static_cast<std::int16_t>(words[0]);
    case RegisterType::uint16:
      return words[0];
    case RegisterType::int32:
      return static_cast<std::int32_t>(joined(channel, words));
    case RegisterType::uint32:
      return joined(channel, words);
    case RegisterType::float32:
      return static_cast<double>(std::bit_cast<float>(joined(channel, words)));
    case RegisterType::bit:
      return words[0] == 0 ? 0.0 : 1.0;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

double decode_value(const ChannelSpec& channel, std::span<const std::uint16_t> words) {
  return raw_value(channel, words) * channel.scale + channel.offset;
}

std::optional<RegisterWords> encode_value(const ChannelSpec& channel, double value) {
  const double raw = (value - channel.offset) / channel.scale;
  if (!std::isfinite(value) || !std::isfinite(raw)) return std::nullopt;
  switch (channel.type) {
    case RegisterType::int16:
      return single(static_cast<std::uint16_t>(saturated<std::int16_t>(raw)));
    case RegisterType::uint16:
      return single(saturated<std::uint16_t>(raw));
    case RegisterType::int32:
      return split(channel, static_cast<std::uint32_t>(saturated<std::int32_t>(raw)));
    case RegisterType::uint32:
      return split(channel, saturated<std::uint32_t>(raw));
    case RegisterType::float32:
      return split(channel, std::bit_cast<std::uint32_t>(saturated_float(raw)));
    case RegisterType::bit:
      return single(raw >= 0.5 ? 1 : 0);
  }
  return std::nullopt;
}

std::uint64_t decode_count(const ChannelSpec& channel, std::span<const std::uint16_t> words) {
  if (channel.type != RegisterType::float32)
    return word_count(channel.type) == 2 ? joined(channel, words) : words[0];
  const double raw = raw_value(channel, words);
  const auto modulus = static_cast<double>(count_modulus(channel.type));
  return raw >= 0 && raw < modulus ? static_cast<std::uint64_t>(raw) : 0;
}

std::uint64_t count_modulus(RegisterType type) {
  // A float counts exactly to 2^24 and cannot wrap by itself: a device has to start again there.
  if (type == RegisterType::float32) return 1ULL << 24U;
  if (type == RegisterType::bit) return 2;
  return word_count(type) == 2 ? 1ULL << 32U : 1ULL << 16U;
}

}  // namespace leeward::daemon
