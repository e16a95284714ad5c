#pragma once
/// Whether the numbers of a described value are numbers.

#include <cmath>
#include <concepts>

#include "control/describe.hpp"
#include "daemon/words/shapes.hpp"

namespace leeward::fuzz {

template <class T, class Judge>
[[nodiscard]] bool every_number(const T& value, Judge judge) {
  if constexpr (std::floating_point<T>) {
    return judge(value);
  } else if constexpr (control::Described<T>) {
    bool holds = true;
    T::describe([&](const char*, auto member) { holds = holds && every_number(value.*member, judge); });
    return holds;
  } else if constexpr (daemon::ShapeArray<T> || daemon::ShapeList<T>) {
    for (const auto& item : value)
      if (!every_number(item, judge)) return false;
    return true;
  } else {
    return true;
  }
}

template <class T>
[[nodiscard]] bool all_finite(const T& value) {
  return every_number(value, [](double v) { return std::isfinite(v); });
}

/// For what may be without bound on purpose, as a time of integration that is none.
template <class T>
[[nodiscard]] bool no_nan(const T& value) {
  return every_number(value, [](double v) { return !std::isnan(v); });
}

}  // namespace leeward::fuzz
