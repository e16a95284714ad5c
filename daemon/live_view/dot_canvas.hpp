#pragma once
/// Dots on a grid of letters: eight a letter in Unicode's braille patterns, one a letter in plain ASCII.

#include <cstddef>
#include <string>
#include <vector>

namespace leeward::daemon {

/// What is measured covers what is planned. They differ in their look too, not by colour.
enum class Ink : unsigned char { none, zero, planned, measured };

class DotCanvas {
 public:
  DotCanvas(std::size_t columns, std::size_t rows, bool is_unicode);
  [[nodiscard]] std::size_t dots_wide() const { return columns_ * across_; }
  [[nodiscard]] std::size_t dots_high() const { return rows_ * down_; }
  /// Row 0 is the top one; outside of the canvas nothing is drawn.
  void dot(long x, long y, Ink ink);
  /// Where dots stand close together, a planned or zero line is dotted.
  void line(long x0, long y0, long x1, long y1, Ink ink);
  [[nodiscard]] std::string row(std::size_t index) const;

 private:
  [[nodiscard]] Ink at(std::size_t x, std::size_t y) const { return dots_[y * dots_wide() + x]; }
  std::size_t columns_;
  std::size_t rows_;
  std::size_t across_;
  std::size_t down_;
  std::vector<Ink> dots_;
};

}  // namespace leeward::daemon
