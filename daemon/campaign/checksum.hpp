#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace leeward::daemon {

/// Tells texts apart and finds torn lines; no protection against anybody.
/// Source   FNV-1a of 64 bits, Fowler, Noll and Vo (constants from memory; the tests hold published values)
constexpr std::uint64_t checksum(std::string_view text) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
  return hash;
}

/// 16 hexadecimal digits.
[[nodiscard]] inline std::string hex_text(std::uint64_t value) {
  std::string out(16, '0');
  for (std::size_t i = 16; i-- > 0; value >>= 4U) out[i] = "0123456789abcdef"[value & 0xfU];
  return out;
}

}  // namespace leeward::daemon
