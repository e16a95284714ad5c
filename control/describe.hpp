#pragma once
/// How a plain struct lists its own fields, once, for everything that walks it: recorder columns,
/// JSON, comparison in a replay. A struct takes part by
///
///     template <class V> static void describe(V&& v) { v("name_unit", &Type::name_unit); ... }
///
/// in the order of its members. tests/daemon/recorder checks that no member is left out.

#include <concepts>

namespace leeward::control {

namespace describe_detail {
struct Probe {
  template <class Member>
  void operator()(const char*, Member) const {}
};
}  // namespace describe_detail

template <class T>
concept Described = requires {
  T::describe(describe_detail::Probe{});
};

}  // namespace leeward::control
