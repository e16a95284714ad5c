#include "daemon/document/pages.hpp"

namespace leeward::daemon {

namespace {

// Narrow enough for both papers, wide enough for punched holes.
constexpr double kSideMargin = 44;
constexpr double kTopMargin = 30;
constexpr double kBottomMargin = 38;

/// Strips from `i` on that no page break may divide.
std::size_t chain_end(const std::vector<Strip>& strips, std::size_t i) {
  while (i + 1 < strips.size() && strips[i].stays_with_next) ++i;
  return i + 1;
}

class Paginator {
 public:
  explicit Paginator(double page_height) : page_height_(page_height) { pages_.emplace_back(); }

  void put(const std::vector<Strip>& strips, std::size_t from, std::size_t to) {
    double height = 0;
    for (std::size_t i = from; i < to; ++i) height += strips[i].space_before + strips[i].height;
    const bool full = used_ + height > page_height_ && !pages_.back().empty();
    if (full || (strips[from].begins_page && !pages_.back().empty())) turn(strips[from]);
    for (std::size_t i = from; i < to; ++i) {
      // A chain that is higher than a page is broken after all.
      if (used_ + strips[i].space_before + strips[i].height > page_height_ && !pages_.back().empty())
        turn(strips[i]);
      place(strips[i]);
    }
  }
  [[nodiscard]] std::vector<Page> end() { return std::move(pages_); }

 private:
  void turn(const Strip& next) {
    pages_.emplace_back();
    used_ = 0;
    if (next.head) place(*next.head);
  }
  void place(const Strip& strip) {
    if (!pages_.back().empty()) used_ += strip.space_before;
    pages_.back().push_back({&strip, used_});
    used_ += strip.height;
  }
  double page_height_;
  double used_ = 0;
  std::vector<Page> pages_;
};

}  // namespace

std::vector<Page> pages_of(const std::vector<Strip>& strips, double page_height) {
  Paginator paginator(page_height);
  for (std::size_t i = 0; i < strips.size();) {
    const std::size_t end = chain_end(strips, i);
    paginator.put(strips, i, end);
    i = end;
  }
  return paginator.end();
}

Size paper_size(Paper paper) {
  // ISO 216 A4 is 210 mm by 297 mm; US Letter 8.5 in by 11 in.
  if (paper == Paper::letter) return {612, 792};
  return {210 / 25.4 * 72, 297 / 25.4 * 72};
}

Rect page_area(Size paper) {
  return {kSideMargin, kTopMargin, paper.width - 2 * kSideMargin, paper.height - kTopMargin - kBottomMargin};
}

void draw_page(Canvas& canvas, const Page& page, Size paper) {
  const Rect area = page_area(paper);
  for (const PlacedStrip& placed : page)
    if (placed.strip->draw) placed.strip->draw(canvas, {area.x, area.y + placed.top});
}

void draw_footer(Canvas& canvas, Size paper, const std::string& text, std::size_t number, std::size_t of) {
  const Rect area = page_area(paper);
  const double y = area.bottom() + 12;
  canvas.line({area.x, y - 3}, {area.right(), y - 3}, {0.4, 0.4, 0});
  canvas.text({area.x, y}, text, {kSmallText, false, 0.2, area.width - 70, TextAlign::left});
  canvas.text({area.right(), y}, "Page " + std::to_string(number) + " of " + std::to_string(of),
              {kSmallText, false, 0.2, 0, TextAlign::right});
}

}  // namespace leeward::daemon
