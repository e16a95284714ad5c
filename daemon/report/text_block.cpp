#include "daemon/report/text_block.hpp"

#include <algorithm>

namespace leeward::daemon {

namespace {

std::size_t letters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string blanks_up_to(std::string_view text, std::size_t width) {
  const std::size_t used = letters(text);
  return std::string(used < width ? width - used : 0, ' ');
}

}  // namespace

std::string left_in(std::string_view text, std::size_t width) {
  return std::string(text) + blanks_up_to(text, width);
}

std::string right_in(std::string_view text, std::size_t width) {
  return blanks_up_to(text, width) + std::string(text);
}

std::string wrapped(std::string_view first, std::string_view text) {
  const std::string indent(letters(first), ' ');
  std::string out(first);
  std::size_t used = indent.size();
  bool line_has_word = false;
  while (!text.empty()) {
    const std::size_t blank = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, blank);
    text.remove_prefix(std::min(blank + 1, text.size()));
    if (word.empty()) continue;
    if (line_has_word && used + 1 + letters(word) > kTextWidth) {
      out += "\n" + indent;
      used = indent.size();
      line_has_word = false;
    }
    if (line_has_word) out += ' ';
    out += word;
    used += letters(word) + (line_has_word ? 1 : 0);
    line_has_word = true;
  }
  return out + "\n";
}

}  // namespace leeward::daemon
