#pragma once
/// A described struct as table columns: one column for every plain field, in the order of describe().
///
/// A field inside a struct is named owner_field; a field called `value` takes its owner's name alone. Of an
/// array with one item a fan, only the rig's fans get columns, numbered from 1; the rest stays at its
/// default.

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "control/sample.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/shapes.hpp"

namespace leeward::daemon {

enum class ColumnKind : std::uint8_t { real, integer, boolean, enumeration };

struct Column {
  std::string name;
  ColumnKind kind = ColumnKind::real;
  std::span<const std::string_view> enum_names;  ///< of an enumeration, in the order of its numbers
};

namespace columns_detail {

/// Items of an array that are recorded.
template <std::size_t N>
constexpr std::size_t recorded_items(std::size_t fans) {
  static_assert(N == control::kMaxFans, "an array in a tick has one item a fan");
  return fans < N ? fans : N;
}

[[nodiscard]] std::string joined(const std::string& owner, std::string_view field);

template <class T>
[[nodiscard]] Column plain_column(std::string name) {
  if constexpr (std::floating_point<T>) {
    return {std::move(name), ColumnKind::real, {}};
  } else if constexpr (std::is_same_v<T, bool>) {
    return {std::move(name), ColumnKind::boolean, {}};
  } else if constexpr (std::integral<T>) {
    return {std::move(name), ColumnKind::integer, {}};
  } else {
    static_assert(NamedEnum<T>, "a field in a tick is a number, a truth or an enum with names");
    return {std::move(name), ColumnKind::enumeration, EnumNames<T>::kNames};
  }
}

}  // namespace columns_detail

/// Appends the columns of a T called `name` in a recording with so many fans.
template <class T>
void add_columns(const std::string& name, std::size_t fans, std::vector<Column>& out) {
  if constexpr (control::Described<T>) {
    T::describe([&]<class M>(const char* field, M T::*) {
      add_columns<M>(columns_detail::joined(name, field), fans, out);
    });
  } else if constexpr (ShapeArray<T>) {
    const std::size_t items = columns_detail::recorded_items<std::tuple_size_v<T>>(fans);
    for (std::size_t i = 0; i < items; ++i)
      add_columns<typename T::value_type>(name + std::to_string(i + 1), fans, out);
  } else {
    out.push_back(columns_detail::plain_column<T>(name));
  }
}

/// Calls visit(field) for every plain field, in the order of the columns.
template <class T, class F>
void for_each_field(T& value, std::size_t fans, F& visit) {
  using Plain = std::remove_const_t<T>;
  if constexpr (control::Described<Plain>) {
    Plain::describe([&](const char*, auto member) { for_each_field(value.*member, fans, visit); });
  } else if constexpr (ShapeArray<Plain>) {
    const std::size_t items = columns_detail::recorded_items<std::tuple_size_v<Plain>>(fans);
    for (std::size_t i = 0; i < items; ++i) for_each_field(value[i], fans, visit);
  } else {
    visit(value);
  }
}

/// Columns of the table `ticks` after `seq`: sample, command, trace.
[[nodiscard]] std::vector<Column> tick_columns(std::size_t fans);

}  // namespace leeward::daemon
