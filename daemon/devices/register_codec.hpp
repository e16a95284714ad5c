#pragma once
/// Between the words of a register table and a value in our units. Pure; the float packing is ours
/// because that of the usual library does not round-trip (register_codec_test holds the proof of ours).

#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "daemon/config/rig_spec.hpp"

namespace leeward::daemon {

/// One or two words as they go over the wire.
struct RegisterWords {
  std::array<std::uint16_t, 2> words{};
  int count = 1;
  bool operator==(const RegisterWords&) const = default;
  [[nodiscard]] std::span<const std::uint16_t> view() const {
    return {words.data(), static_cast<std::size_t>(count)};
  }
};

/// Words (for bits: coils) that a value of this type takes.
[[nodiscard]] constexpr int word_count(RegisterType type) {
  return type == RegisterType::int32 || type == RegisterType::uint32 || type == RegisterType::float32 ? 2 : 1;
}

/// value = raw * scale + offset.
///
/// Errors   none: not-a-number and infinity pass through, the caller judges them.
/// @param words  at least word_count(channel.type)
[[nodiscard]] double decode_value(const ChannelSpec& channel, std::span<const std::uint16_t> words);

/// The inverse, rounded to the nearest count and saturated at the ends of the type.
///
/// Errors   nothing for a value that is not finite, or a scale of 0: such a thing is never written.
[[nodiscard]] std::optional<RegisterWords> encode_value(const ChannelSpec& channel, double value);

/// The bare counter, without scale and offset, and the count at which it starts again from 0.
[[nodiscard]] std::uint64_t decode_count(const ChannelSpec& channel, std::span<const std::uint16_t> words);
[[nodiscard]] std::uint64_t count_modulus(RegisterType type);

}  // namespace leeward::daemon
