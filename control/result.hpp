#pragma once
/// Errors of start-up and of the edge. Inside a step there are no errors, only reasons in the trace.

#include <string>
#include <tl/expected.hpp>

namespace leeward::control {

enum class Errc {
  out_of_range,
  not_finite,
  wrong_type,
  unknown_key,
  missing_key,
  conflict,
  io,
  device,
  busy
};

/// `field` is the dotted name with its unit, `text` says what is allowed.
struct Error {
  Errc code = Errc::out_of_range;
  std::string field;
  std::string text;
};

template <class T>
using Result = tl::expected<T, Error>;

}  // namespace leeward::control
