#include "daemon/words/json_fault.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {
constexpr std::size_t kShownBytes = 16;

std::string place_text(std::string_view text, std::size_t at) {
  const std::string_view before = text.substr(0, at);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const std::size_t line_begin = before.rfind('\n') + 1;  // npos + 1 is 0
  return "line " + std::to_string(line) + ", column " + std::to_string(1 + at - line_begin);
}

bool is_plain(char c) { return c >= ' ' && c <= '~'; }

/// What stands there, as far as it can be shown in one line.
std::string_view shown_from(std::string_view text, std::size_t at) {
  const std::string_view rest = text.substr(at, kShownBytes);
  return rest.substr(
      0, static_cast<std::size_t>(std::find_if_not(rest.begin(), rest.end(), is_plain) - rest.begin()));
}
}  // namespace

std::string json_fault_text(std::string_view text, std::size_t byte) {
  const std::size_t at = byte > 0 ? byte - 1 : 0;
  if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) return "is empty";
  if (at >= text.size()) return "breaks off at its end, " + place_text(text, text.size());
  std::string out = "cannot be read at " + place_text(text, at);
  if (const std::string_view shown = shown_from(text, at); !shown.empty())
    out += ", near `" + std::string(shown) + "`";
  return out;
}

}  // namespace leeward::daemon
