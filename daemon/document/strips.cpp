#include "daemon/document/strips.hpp"

#include "daemon/document/pictures.hpp"

namespace leeward::daemon {

namespace {

constexpr double kHeadingText = 10.5;
constexpr double kNoticeLabel = 66;

Strip text_strip(const std::string& text, TextStyle style, Canvas& canvas, double space_before) {
  Strip strip;
  strip.height = canvas.measure(text, style).height;
  strip.space_before = space_before;
  strip.draw = [text, style](Canvas& c, Point at) { c.text(at, text, style); };
  return strip;
}

Strip heading_strip(const HeadingBlock& block, Canvas& canvas, double width) {
  const TextStyle style{kHeadingText, true, 0, width, TextAlign::left};
  Strip strip;
  const double height = canvas.measure(block.text, style).height;
  strip.height = height + 4;
  strip.space_before = 8;
  strip.stays_with_next = true;
  strip.draw = [text = block.text, style, height, width](Canvas& c, Point at) {
    c.text(at, text, style);
    c.line({at.x, at.y + height + 1.5}, {at.x + width, at.y + height + 1.5}, {0.7, 0, 0});
  };
  return strip;
}

Strip notice_strip(const Notice& notice, Canvas& canvas, double width) {
  const TextStyle label{kBodyText, notice.severity != NoticeSeverity::plain, 0, kNoticeLabel - 6,
                        TextAlign::left};
  const TextStyle body{kBodyText, notice.severity == NoticeSeverity::serious, 0, width - kNoticeLabel,
                       TextAlign::left};
  Strip strip;
  strip.height =
      std::max(canvas.measure(notice.title, label).height, canvas.measure(notice.text, body).height);
  strip.space_before = 2;
  strip.draw = [notice, label, body](Canvas& c, Point at) {
    c.text(at, notice.title, label);
    c.text({at.x + kNoticeLabel, at.y}, notice.text, body);
  };
  return strip;
}

Strip pictures_strip(const PicturesBlock& block, const StripSource& source) {
  const double scale = source.picture_scale;
  Strip strip;
  for (const Panel& panel : block.panels)
    strip.height = std::max(strip.height, scale * (panel.top + panel.height));
  strip.space_before = 4;
  strip.draw = [block, source, scale](Canvas& c, Point at) {
    for (const Panel& p : block.panels)
      draw_picture(c, p.picture,
                   {at.x + p.left_frac * source.width, at.y + scale * p.top, p.width_frac * source.width,
                    scale * p.height},
                   *source.data, *source.units);
  };
  return strip;
}

class StripMaker {
 public:
  StripMaker(Canvas& canvas, const StripSource& source) : canvas_(canvas), source_(source) {}

  void operator()(const TitleBlock& b) { add(front_strips(b, canvas_, source_.width)); }
  void operator()(const BannerBlock& b) { add(front_strips(b, canvas_, source_.width)); }
  void operator()(const HeadlinesBlock& b) { add(front_strips(b, canvas_, source_.width)); }
  void operator()(const SignatureBlock& b) { add(front_strips(b, canvas_, source_.width)); }
  void operator()(const FactsBlock& b) { add(facts_strips(b, canvas_, source_.width)); }
  void operator()(const TableBlock& b) { add(table_strips(b, canvas_, source_.width)); }
  void operator()(const HeadingBlock& b) { push(heading_strip(b, canvas_, source_.width)); }
  void operator()(const ParagraphBlock& b) {
    push(text_strip(b.text, {kSmallText, false, 0, source_.width, TextAlign::left}, canvas_, 3));
  }
  void operator()(const PicturesBlock& b) { push(pictures_strip(b, source_)); }
  void operator()(const NoticesBlock& b) {
    for (const Notice& notice : b.notices) push(notice_strip(notice, canvas_, source_.width));
  }
  void operator()(const PageBreakBlock&) { begins_page_ = true; }
  [[nodiscard]] std::vector<Strip> end() { return std::move(out_); }

 private:
  void add(std::vector<Strip> strips) {
    for (Strip& strip : strips) push(std::move(strip));
  }
  void push(Strip strip) {
    strip.begins_page = std::exchange(begins_page_, false);
    out_.push_back(std::move(strip));
  }
  Canvas& canvas_;
  StripSource source_;
  bool begins_page_ = false;
  std::vector<Strip> out_;
};

}  // namespace

std::vector<Strip> strips_of(const Document& document, Canvas& canvas, const StripSource& source) {
  StripMaker maker(canvas, source);
  for (const Block& block : document.blocks) std::visit(maker, block);
  return maker.end();
}

}  // namespace leeward::daemon
