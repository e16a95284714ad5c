#include <algorithm>

#include "daemon/document/strips.hpp"

namespace leeward::daemon {

namespace {

constexpr double kTitleText = 19;
constexpr double kSubtitleText = 12;
constexpr double kSideWidth = 150;
constexpr double kAlarmText = 26;
constexpr double kCalmText = 13;
constexpr double kBannerPad = 9;
constexpr double kHeadlineText = 19;
constexpr double kSignatureGap = 12;
constexpr double kSignatureLine = 26;
constexpr double kSignatureShare = 1.9;  ///< width of the last field, to be signed, over that of the others

}  // namespace

std::vector<Strip> front_strips(const TitleBlock& block, Canvas& canvas, double width) {
  const TextStyle title{kTitleText, true, 0, width - kSideWidth, TextAlign::left};
  const TextStyle subtitle{kSubtitleText, false, 0, width - kSideWidth, TextAlign::left};
  const TextStyle side{kBodyText, false, 0.2, kSideWidth, TextAlign::right};
  const double title_height = canvas.measure(block.title, title).height;
  std::string lines;
  for (const std::string& line : block.side) lines += (lines.empty() ? "" : "\n") + line;
  Strip strip;
  strip.height = title_height + 2 + canvas.measure(block.subtitle, subtitle).height + 5;
  strip.height = std::max(strip.height, canvas.measure(lines, side).height + 6);
  strip.draw = [=](Canvas& c, Point at) {
    c.text(at, block.title, title);
    c.text({at.x, at.y + title_height + 2}, block.subtitle, subtitle);
    c.text({at.x + width - kSideWidth, at.y + 6}, lines, side);
  };
  return {strip};
}

std::vector<Strip> front_strips(const BannerBlock& block, Canvas& canvas, double width) {
  const double grey = block.is_alarm ? 1 : 0;
  const TextStyle words{block.is_alarm ? kAlarmText : kCalmText, true, grey, width - 2 * kBannerPad,
                        TextAlign::left};
  const TextStyle text{block.is_alarm ? 9.5 : kBodyText, false, grey, width - 2 * kBannerPad,
                       TextAlign::left};
  const double words_height = canvas.measure(block.words, words).height;
  const double pad = block.is_alarm ? kBannerPad : kBannerPad * 0.6;
  Strip strip;
  strip.height = words_height + canvas.measure(block.text, text).height + 2 * pad + 2;
  strip.space_before = 3;
  strip.draw = [=, height = strip.height](Canvas& c, Point at) {
    const Rect box{at.x, at.y, width, height};
    if (block.is_alarm) {
      c.fill(box, 0);
    } else {
      c.frame(box, {1.1, 0, 0});
    }
    c.text({at.x + kBannerPad, at.y + pad}, block.words, words);
    c.text({at.x + kBannerPad, at.y + pad + words_height + 2}, block.text, text);
  };
  return {strip};
}

std::vector<Strip> front_strips(const HeadlinesBlock& block, Canvas& canvas, double width) {
  const double column = width / static_cast<double>(std::max<std::size_t>(block.figures.size(), 1));
  const TextStyle small{kBodyText, false, 0, column - 10, TextAlign::left};
  const auto value_style = [&canvas, column](const Headline& h) {
    TextStyle style{kHeadlineText, true, 0, 0, TextAlign::left};
    while (style.size_pt > kBodyText && canvas.measure(h.value, style).width > column - 10)
      style.size_pt -= 1;
    return style;
  };
  std::vector<TextStyle> styles;
  Strip strip;
  for (const Headline& h : block.figures) {
    styles.push_back(value_style(h));
    const double height = 12 + canvas.measure(h.value, styles.back()).height +
                          canvas.measure(h.interval, small).height + canvas.measure(h.meaning, small).height;
    strip.height = std::max(strip.height, height);
  }
  strip.height += 4;
  strip.space_before = 7;
  strip.draw = [block, column, small, styles](Canvas& c, Point at) {
    for (std::size_t i = 0; i < block.figures.size(); ++i) {
      const Headline& h = block.figures[i];
      const double x = at.x + column * static_cast<double>(i);
      double y = at.y;
      c.text({x, y}, h.symbol, {9, true, 0.2, 0, TextAlign::left});
      y += 12;
      y += c.text({x, y}, h.value, styles[i]).height;
      y += c.text({x, y}, h.interval, small).height;
      c.text({x, y}, h.meaning, small);
    }
  };
  return {strip};
}

std::vector<Strip> front_strips(const SignatureBlock& block, Canvas& canvas, double width) {
  const TextStyle head{9, true, 0, width, TextAlign::left};
  const double head_height = canvas.measure(block.statement, head).height;
  const double count = static_cast<double>(std::max<std::size_t>(block.fields.size(), 1));
  const double field = (width - kSignatureGap * (count - 1)) / (count - 1 + kSignatureShare);
  const TextStyle value{kBodyText, false, 0, field, TextAlign::left};
  const TextStyle label{kSmallText, false, 0.25, field, TextAlign::left};
  double value_height = kSignatureLine;
  for (const auto& [name, text] : block.fields)
    value_height = std::max(value_height, canvas.measure(text, value).height + 3);
  Strip strip;
  strip.height = head_height + value_height + 14;
  strip.space_before = 9;
  strip.draw = [=](Canvas& c, Point at) {
    c.text(at, block.statement, head);
    const double line_y = at.y + head_height + value_height;
    for (std::size_t i = 0; i < block.fields.size(); ++i) {
      const double x = at.x + (field + kSignatureGap) * static_cast<double>(i);
      const auto& [name, text] = block.fields[i];
      c.text({x, line_y - 2 - c.measure(text, value).height}, text, value);
      const bool is_last = i + 1 == block.fields.size();
      c.line({x, line_y}, {x + (is_last ? field * kSignatureShare : field), line_y}, {0.5, 0, 0});
      c.text({x, line_y + 1.5}, name, label);
    }
  };
  return {strip};
}

}  // namespace leeward::daemon
