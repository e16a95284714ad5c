#pragma once
/// Strips put on pages.

#include <vector>

#include "daemon/document/strips.hpp"

namespace leeward::daemon {

struct PlacedStrip {
  const Strip* strip = nullptr;
  double top = 0;  ///< below the top of the page's own area
};
using Page = std::vector<PlacedStrip>;

/// A strip that stays with the next moves to the next page with it; one that is higher than a page has a page
/// to itself.
[[nodiscard]] std::vector<Page> pages_of(const std::vector<Strip>& strips, double page_height);

[[nodiscard]] Size paper_size(Paper paper);

/// The part of the paper that strips fill.
[[nodiscard]] Rect page_area(Size paper);

void draw_page(Canvas& canvas, const Page& page, Size paper);
/// "Page 2 of 3" and what holds for the whole document.
void draw_footer(Canvas& canvas, Size paper, const std::string& text, std::size_t number, std::size_t of);

}  // namespace leeward::daemon
