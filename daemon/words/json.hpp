#pragma once
/// Described structs to JSON and back without losing a bit.
///
/// Shape    structs are objects with the described names as keys, arrays and vectors are arrays, fixed
///          texts are strings, enums are their names (numbers where an enum has no table).
/// Range    doubles round-trip bit for bit, -0.0 included; "nan", "inf" and "-inf" stand for what JSON
///          has no number for (a NaN comes back with the canonical bits). Integers are exact.
/// Errors   from_json_value: a missing key, an unknown key, a wrong type, a number out of range or a text
///          or list that is too long; `field` is the dotted path. `out` is then partly written.

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>
#include <utility>

#include <nlohmann/json.hpp>

#include "control/result.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/shapes.hpp"

namespace leeward::daemon {

template <class T>
[[nodiscard]] nlohmann::json to_json_value(const T& value);

template <class T>
[[nodiscard]] control::Result<void> from_json_value(const nlohmann::json& json, T& out);

/// Never throws: bytes that are no UTF-8 are replaced. `indent` -1 gives one line.
[[nodiscard]] std::string json_text(const nlohmann::json& json, int indent = -1);

/// Errors   wrong_type with line and column, also for a text nested deeper than 64
[[nodiscard]] control::Result<nlohmann::json> parse_json(std::string_view text);

/// parse_json and from_json_value in one; `field` stands before the path of an error.
template <class T>
[[nodiscard]] control::Result<void> from_json_text(std::string_view text, std::string_view field, T& out);

namespace json_detail {

using control::Errc;
using control::Error;
using control::Result;

[[nodiscard]] nlohmann::json number_to_json(double value);
[[nodiscard]] Result<double> number_from_json(const nlohmann::json& json);
[[nodiscard]] tl::unexpected<Error> fail(Errc code, std::string text);
/// Puts `outer` before the path of an error that came from inside it.
[[nodiscard]] Error inside(std::string_view outer, Error error);
[[nodiscard]] std::string index_text(std::size_t i);

template <class T>
Result<void> integer_from_json(const nlohmann::json& json, T& out) {
  if (json.is_number_unsigned() && std::in_range<T>(json.get<std::uint64_t>())) {
    out = static_cast<T>(json.get<std::uint64_t>());
    return {};
  }
  if (!json.is_number_integer()) return fail(Errc::wrong_type, "must be a whole number");
  if (json.is_number_unsigned() || !std::in_range<T>(json.get<std::int64_t>()))
    return fail(Errc::out_of_range, "must lie between " + std::to_string(std::numeric_limits<T>::min()) +
                                        " and " + std::to_string(std::numeric_limits<T>::max()));
  out = static_cast<T>(json.get<std::int64_t>());
  return {};
}

template <class E>
Result<void> enum_from_json(const nlohmann::json& json, E& out) {
  if constexpr (NamedEnum<E>) {
    if (!json.is_string()) return fail(Errc::wrong_type, "must be a text");
    const auto e = from_name<E>(json.get_ref<const std::string&>());
    if (!e) return fail(Errc::out_of_range, "is not one of the allowed words");
    out = *e;
    return {};
  } else {
    std::underlying_type_t<E> raw{};
    const auto read = integer_from_json(json, raw);
    if (read) out = static_cast<E>(raw);
    return read;
  }
}

template <std::size_t N>
Result<void> text_from_json(const nlohmann::json& json, control::FixedText<N>& out) {
  if (!json.is_string()) return fail(Errc::wrong_type, "must be a text");
  const auto& text = json.get_ref<const std::string&>();
  if (text.size() > N)
    return fail(Errc::out_of_range, "must be at most " + std::to_string(N) + " bytes long");
  out = control::FixedText<N>(text);
  return {};
}

template <class T>
Result<void> items_from_json(const nlohmann::json& json, T& out) {
  if (!json.is_array()) return fail(Errc::wrong_type, "must be a list");
  if constexpr (ShapeArray<T>) {
    if (json.size() != out.size())
      return fail(Errc::out_of_range, "must have exactly " + std::to_string(out.size()) + " items");
  } else {
    if (json.size() > T::capacity())
      return fail(Errc::out_of_range, "must have at most " + std::to_string(T::capacity()) + " items");
    out.clear();
  }
  for (std::size_t i = 0; i < json.size(); ++i) {
    if constexpr (ShapeList<T>) out.push_back({});
    auto read = from_json_value(json[i], out[i]);
    if (!read) return tl::unexpected(inside(index_text(i), std::move(read.error())));
  }
  return {};
}

template <control::Described T>
Result<void> struct_from_json(const nlohmann::json& json, T& out) {
  if (!json.is_object()) return fail(Errc::wrong_type, "must be an object");
  Result<void> result;
  std::size_t found = 0;
  T::describe([&](const char* name, auto member) {
    if (!result) return;
    const auto it = json.find(name);
    if (it == json.end()) {
      result = tl::unexpected(Error{Errc::missing_key, name, "is missing"});
      return;
    }
    ++found;
    auto read = from_json_value(*it, out.*member);
    if (!read) result = tl::unexpected(inside(name, std::move(read.error())));
  });
  if (!result || found == json.size()) return result;
  for (const auto& item : json.items()) {
    const std::string& key = item.key();
    bool known = false;
    T::describe([&](const char* name, auto) { known = known || key == name; });
    if (!known) return tl::unexpected(Error{Errc::unknown_key, key, "is not known here"});
  }
  return result;
}

}  // namespace json_detail

template <class T>
nlohmann::json to_json_value(const T& value) {
  if constexpr (std::floating_point<T>) {
    return json_detail::number_to_json(value);
  } else if constexpr (std::integral<T>) {
    return value;
  } else if constexpr (NamedEnum<T>) {
    return std::string(name_of(value));
  } else if constexpr (std::is_enum_v<T>) {
    return static_cast<std::underlying_type_t<T>>(value);
  } else if constexpr (ShapeText<T>) {
    return std::string(value.view());
  } else if constexpr (control::Described<T>) {
    auto json = nlohmann::json::object();
    T::describe([&](const char* name, auto member) { json[name] = to_json_value(value.*member); });
    return json;
  } else {
    static_assert(ShapeArray<T> || ShapeList<T>, "a member of a described struct has a shape not known here");
    auto json = nlohmann::json::array();
    for (const auto& item : value) json.push_back(to_json_value(item));
    return json;
  }
}

template <class T>
control::Result<void> from_json_value(const nlohmann::json& json, T& out) {
  using namespace json_detail;
  if constexpr (std::floating_point<T>) {
    auto number = number_from_json(json);
    if (!number) return tl::unexpected(std::move(number.error()));
    out = *number;
    return {};
  } else if constexpr (std::is_same_v<T, bool>) {
    if (!json.is_boolean()) return fail(Errc::wrong_type, "must be true or false");
    out = json.get<bool>();
    return {};
  } else if constexpr (std::integral<T>) {
    return integer_from_json(json, out);
  } else if constexpr (std::is_enum_v<T>) {
    return enum_from_json(json, out);
  } else if constexpr (ShapeText<T>) {
    return text_from_json(json, out);
  } else if constexpr (control::Described<T>) {
    return struct_from_json(json, out);
  } else {
    static_assert(ShapeArray<T> || ShapeList<T>, "a member of a described struct has a shape not known here");
    return items_from_json(json, out);
  }
}

template <class T>
control::Result<void> from_json_text(std::string_view text, std::string_view field, T& out) {
  auto json = parse_json(text);
  if (!json) return tl::unexpected(json_detail::inside(field, std::move(json.error())));
  auto read = from_json_value(*json, out);
  if (!read) return tl::unexpected(json_detail::inside(field, std::move(read.error())));
  return {};
}

}  // namespace leeward::daemon
