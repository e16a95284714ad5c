#pragma once
/// Any drawing as the bytes of an SVG file. The same drawing gives the same bytes.

#include <functional>
#include <string>

#include "control/result.hpp"
#include "daemon/document/canvas.hpp"

namespace leeward::daemon {

/// @param title        what it shows, for those who cannot see it
/// @param description  what is to be seen, likewise
/// Errors   io with Cairo's own words
[[nodiscard]] control::Result<std::string> drawing_svg(Size size, const std::string& title,
                                                       const std::string& description,
                                                       const std::function<void(Canvas&)>& draw);

/// The text with what is no UTF-8 in it replaced.
[[nodiscard]] std::string valid_utf8(const std::string& text);

}  // namespace leeward::daemon
