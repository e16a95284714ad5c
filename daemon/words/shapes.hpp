#pragma once
/// What kinds of value a described struct may hold, for everything that walks one generically.

#include <array>
#include <concepts>
#include <cstddef>
#include <type_traits>

#include "control/describe.hpp"
#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"

namespace leeward::daemon {

namespace shapes_detail {
template <class T>
inline constexpr bool is_text = false;
template <std::size_t N>
inline constexpr bool is_text<control::FixedText<N>> = true;
template <class T>
inline constexpr bool is_list = false;
template <class T, std::size_t N>
inline constexpr bool is_list<control::FixedVector<T, N>> = true;
template <class T>
inline constexpr bool is_array = false;
template <class T, std::size_t N>
inline constexpr bool is_array<std::array<T, N>> = true;
}  // namespace shapes_detail

template <class T>
concept ShapeText = shapes_detail::is_text<T>;
template <class T>
concept ShapeList = shapes_detail::is_list<T>;
template <class T>
concept ShapeArray = shapes_detail::is_array<T>;
template <class T>
concept ShapeNumber = std::integral<T> || std::floating_point<T>;

}  // namespace leeward::daemon
