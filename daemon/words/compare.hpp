#pragma once
/// Where two described values differ first, bit for bit: a replay has to reproduce -0.0 and NaN too.

#include <bit>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>

#include "daemon/words/names.hpp"
#include "daemon/words/shapes.hpp"

namespace leeward::daemon {

/// `field` is the dotted name as described; the values are texts that tell every bit apart.
struct Difference {
  std::string field;
  std::string first;
  std::string second;
};

namespace compare_detail {

/// 17 digits; a NaN is written with its bits, since NaNs differ too.
[[nodiscard]] std::string exact_text(double value);

[[nodiscard]] inline bool same_bits(double a, double b) {
  return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

/// Puts `outer` before the field of a difference that came from inside it.
[[nodiscard]] std::optional<Difference> inside(const std::string& outer,
                                               std::optional<Difference> difference);

template <class T>
[[nodiscard]] std::string plain_text(const T& value) {
  if constexpr (ShapeText<T>) {
    return std::string(value.view());
  } else if constexpr (NamedEnum<T>) {
    return std::string(name_of(value)) + " (" + std::to_string(static_cast<int>(value)) + ")";
  } else if constexpr (std::is_enum_v<T>) {
    return std::to_string(static_cast<int>(value));
  } else {
    return std::to_string(value);
  }
}

}  // namespace compare_detail

template <class T>
[[nodiscard]] std::optional<Difference> first_difference(const T& a, const T& b) {
  using namespace compare_detail;
  if constexpr (std::floating_point<T>) {
    static_assert(sizeof(T) == sizeof(double));
    if (same_bits(a, b)) return std::nullopt;
    return Difference{"", exact_text(a), exact_text(b)};
  } else if constexpr (std::integral<T> || std::is_enum_v<T> || ShapeText<T>) {
    if (a == b) return std::nullopt;
    return Difference{"", plain_text(a), plain_text(b)};
  } else if constexpr (control::Described<T>) {
    std::optional<Difference> found;
    T::describe([&](const char* name, auto member) {
      if (!found) found = inside(name, first_difference(a.*member, b.*member));
    });
    return found;
  } else {
    static_assert(ShapeArray<T> || ShapeList<T>, "a member of a described struct has a shape not known here");
    for (std::size_t i = 0; i < a.size() && i < b.size(); ++i)
      if (auto found = first_difference(a[i], b[i])) return inside("[" + std::to_string(i) + "]", found);
    if (a.size() == b.size()) return std::nullopt;
    return Difference{".size", std::to_string(a.size()), std::to_string(b.size())};
  }
}

}  // namespace leeward::daemon
