#include "daemon/live_view/screen_text.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {
bool begins_letter(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

/// Bytes of the first `width` letters.
std::size_t bytes_of(std::string_view text, std::size_t width) {
  std::size_t seen = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (!begins_letter(text[i])) continue;
    if (seen == width) return i;
    ++seen;
  }
  return text.size();
}

std::string_view take_word(std::string_view& text) {
  text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
  const std::string_view word = text.substr(0, std::min(text.find(' '), text.size()));
  text.remove_prefix(word.size());
  return word;
}
}  // namespace

std::size_t letters_in(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), begins_letter));
}

std::string harmless(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    // U+0080 to U+009F are control characters too, C2 80 to C2 9F in UTF-8.
    const bool is_c1 =
        byte == 0xC2U && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0U;
    if (is_c1) ++i;
    out += is_c1 || byte < 0x20U || byte == 0x7FU ? ' ' : text[i];
  }
  return out;
}

std::string cut_to(std::string_view text, std::size_t width) {
  return std::string(text.substr(0, bytes_of(text, width)));
}

std::vector<std::string> lines_of(std::string_view text, std::size_t width, std::size_t most) {
  std::vector<std::string> out;
  if (width == 0 || most == 0) return out;
  std::string line;
  for (std::string_view word = take_word(text); !word.empty(); word = take_word(text)) {
    const std::size_t used = letters_in(line);
    if (used > 0 && used + 1 + letters_in(word) > width) {
      out.push_back(line);
      line.clear();
    }
    line += (line.empty() ? "" : " ") + std::string(word);
    for (; letters_in(line) > width; line.erase(0, bytes_of(line, width))) out.push_back(cut_to(line, width));
  }
  if (!line.empty()) out.push_back(line);
  if (out.size() <= most) return out;
  out.resize(most);
  out.back() = cut_to(out.back(), width > 2 ? width - 2 : 0) + cut_to("..", width);
  return out;
}

std::string as_many_as_fit(const std::vector<std::string>& parts, std::size_t width) {
  std::string out;
  for (const std::string& part : parts) {
    if (part.empty()) continue;
    const std::string longer = out.empty() ? part : out + ", " + part;
    if (letters_in(longer) > width) break;
    out = longer;
  }
  if (!out.empty() || parts.empty()) return out;
  return cut_to(parts.front(), width);
}

}  // namespace leeward::daemon
