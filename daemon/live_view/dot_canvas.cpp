#include "daemon/live_view/dot_canvas.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>

namespace leeward::daemon {
namespace {
/// Bit of each dot of a braille pattern.
/// Source  The Unicode Standard, chart U+2800
constexpr std::array<std::array<unsigned, 2>, 4> kBits{
    {{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}};
/// One of so many dots of a line that is not measured.
constexpr long kDotted = 3;

std::string braille_letter(unsigned bits) {
  const unsigned code = 0x2800U + bits;
  return {static_cast<char>(0xE0U | (code >> 12U)), static_cast<char>(0x80U | ((code >> 6U) & 0x3FU)),
          static_cast<char>(0x80U | (code & 0x3FU))};
}

char ascii_letter(Ink ink) {
  switch (ink) {
    case Ink::measured:
      return '*';
    case Ink::planned:
      return '-';
    case Ink::zero:
      return '.';
    default:
      return ' ';
  }
}
}  // namespace

DotCanvas::DotCanvas(std::size_t columns, std::size_t rows, bool is_unicode)
    : columns_(columns),
      rows_(rows),
      across_(is_unicode ? 2 : 1),
      down_(is_unicode ? 4 : 1),
      dots_(columns * across_ * rows * down_, Ink::none) {}

void DotCanvas::dot(long x, long y, Ink ink) {
  if (x < 0 || y < 0 || x >= static_cast<long>(dots_wide()) || y >= static_cast<long>(dots_high())) return;
  Ink& place = dots_[static_cast<std::size_t>(y) * dots_wide() + static_cast<std::size_t>(x)];
  place = std::max(place, ink);
}

void DotCanvas::line(long x0, long y0, long x1, long y1, Ink ink) {
  const long steps = std::max({std::labs(x1 - x0), std::labs(y1 - y0), 1L});
  const bool is_dotted = across_ > 1 && ink != Ink::measured;
  for (long i = 0; i <= steps; ++i) {
    const long x = x0 + (x1 - x0) * i / steps;
    const long y = y0 + (y1 - y0) * i / steps;
    // Counted from the edge of the canvas, so that the dots stand still while the line is cut shorter.
    if (!is_dotted || (x0 == x1 ? y : x) % kDotted == 0) dot(x, y, ink);
  }
}

std::string DotCanvas::row(std::size_t index) const {
  std::string out;
  std::size_t end = 0;
  for (std::size_t column = 0; column < columns_; ++column) {
    unsigned bits = 0;
    Ink most = Ink::none;
    for (std::size_t y = 0; y < down_; ++y)
      for (std::size_t x = 0; x < across_; ++x) {
        const Ink ink = at(column * across_ + x, index * down_ + y);
        most = std::max(most, ink);
        if (ink != Ink::none) bits |= kBits[y][x];
      }
    if (most == Ink::none) {
      out += ' ';
    } else {
      out += across_ > 1 ? braille_letter(bits) : std::string(1, ascii_letter(most));
      end = out.size();
    }
  }
  return out.substr(0, end);
}

}  // namespace leeward::daemon
