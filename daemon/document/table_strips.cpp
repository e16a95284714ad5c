#include <algorithm>

#include "daemon/document/strips.hpp"

namespace leeward::daemon {

namespace {

constexpr double kCellPad = 3;
// Figures at the right end of their column keep away from text at the left end of the next.
constexpr double kFigurePad = 7;
constexpr double kRowPad = 1.2;
constexpr std::size_t kUndividedRows = 6;  // a table as short as this is not divided by a page break
constexpr double kGroupGrey = 0.92;
constexpr double kFactLabelFrac = 0.38;
constexpr double kFactLabelMost = 78;
constexpr double kFactGap = 2;
constexpr double kColumnGap = 14;
constexpr double kWritingLine = 13;

struct ColumnPlace {
  double left = 0;
  double width = 0;
  TextAlign align = TextAlign::left;
};

double pad_of(CellAlign align) { return align == CellAlign::right ? kFigurePad : kCellPad; }

double longest_word(const std::string& text, bool is_bold, Canvas& canvas) {
  double longest = 0;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = std::min(text.find_first_of(" \n", from), text.size());
    const TextStyle style{kSmallText, is_bold, 0, 0, TextAlign::left};
    longest = std::max(longest, canvas.measure(text.substr(from, end - from), style).width);
    from = end + 1;
  }
  return longest;
}

/// What a column needs so that no word is broken; a word of endless length may not push the others out.
double least_width(const TableBlock& table, std::size_t column, Canvas& canvas, double most) {
  const TableColumn& c = table.columns[column];
  double least = std::max(longest_word(c.title, true, canvas), longest_word(c.unit, true, canvas));
  for (const TableRow& row : table.rows)
    if (row.cells.size() > 1 && column < row.cells.size())
      least = std::max(least, longest_word(row.cells[column], row.is_strong, canvas));
  return std::min(least + pad_of(c.align) + 0.5, most);
}

/// Widths by weight, but none below its least width; the wide ones give what that takes.
std::vector<double> widths_of(const TableBlock& table, Canvas& canvas, double width) {
  const std::size_t count = table.columns.size();
  std::vector<double> least;
  for (std::size_t i = 0; i < count; ++i) least.push_back(least_width(table, i, canvas, width / 4));
  std::vector<double> out = least;
  std::vector<bool> is_fixed(count, false);
  for (std::size_t round = 0; round < count; ++round) {
    double room = width;
    double weights = 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (is_fixed[i]) room -= least[i];
      if (!is_fixed[i]) weights += table.columns[i].weight;
    }
    bool has_changed = false;
    for (std::size_t i = 0; i < count; ++i) {
      if (is_fixed[i]) continue;
      out[i] = room * table.columns[i].weight / weights;
      if (out[i] >= least[i]) continue;
      is_fixed[i] = has_changed = true;
      out[i] = least[i];
    }
    if (!has_changed) break;
  }
  return out;
}

std::vector<ColumnPlace> places_of(const TableBlock& table, Canvas& canvas, double width) {
  const std::vector<double> widths = widths_of(table, canvas, width);
  double total = 0;
  for (const double w : widths) total += w;
  const double fit = total > width ? width / total : 1;
  std::vector<ColumnPlace> out;
  double left = 0;
  for (std::size_t i = 0; i < widths.size(); ++i) {
    const bool right = table.columns[i].align == CellAlign::right;
    out.push_back({left, widths[i] * fit, right ? TextAlign::right : TextAlign::left});
    left += out.back().width;
  }
  return out;
}

TextStyle cell_style(const ColumnPlace& place, bool is_bold) {
  return {kSmallText, is_bold, 0,
          std::max(8.0, place.width - (place.align == TextAlign::right ? kFigurePad : kCellPad)),
          place.align};
}

Strip head_strip(const TableBlock& table, const std::vector<ColumnPlace>& places, Canvas& canvas,
                 double width) {
  std::vector<std::string> texts;
  Strip strip;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const TableColumn& c = table.columns[i];
    texts.push_back(c.title + (c.unit.empty() ? "" : "\n" + c.unit));
    strip.height = std::max(strip.height, canvas.measure(texts.back(), cell_style(places[i], true)).height);
  }
  strip.height += 3;
  strip.space_before = 4;
  strip.stays_with_next = true;
  strip.draw = [texts, places, width, height = strip.height](Canvas& c, Point at) {
    for (std::size_t i = 0; i < places.size(); ++i)
      c.text({at.x + places[i].left, at.y}, texts[i], cell_style(places[i], true));
    c.line({at.x, at.y + height - 1}, {at.x + width, at.y + height - 1}, {0.5, 0, 0});
  };
  return strip;
}

/// A row whose one cell spans the table.
Strip group_strip(const TableRow& row, Canvas& canvas, double width) {
  const TextStyle style{kSmallText, row.is_strong, 0, width - 2 * kCellPad, TextAlign::left};
  const std::string text = row.cells.empty() ? std::string() : row.cells[0];
  Strip strip;
  strip.height = canvas.measure(text, style).height + 2 * kRowPad;
  strip.stays_with_next = row.is_strong;
  strip.draw = [text, style, width, height = strip.height, strong = row.is_strong](Canvas& c, Point at) {
    if (strong) c.fill({at.x, at.y, width, height - 0.5}, kGroupGrey);
    c.text({at.x + kCellPad, at.y + kRowPad}, text, style);
  };
  return strip;
}

Strip row_strip(const TableRow& row, const std::vector<ColumnPlace>& places, Canvas& canvas, double width) {
  Strip strip;
  const std::size_t cells = std::min(row.cells.size(), places.size());
  for (std::size_t i = 0; i < cells; ++i)
    strip.height =
        std::max(strip.height, canvas.measure(row.cells[i], cell_style(places[i], row.is_strong)).height);
  strip.height += 2 * kRowPad;
  strip.draw = [row, places, cells, width, height = strip.height](Canvas& c, Point at) {
    for (std::size_t i = 0; i < cells; ++i)
      c.text({at.x + places[i].left, at.y + kRowPad}, row.cells[i], cell_style(places[i], row.is_strong));
    c.line({at.x, at.y + height - 0.2}, {at.x + width, at.y + height - 0.2}, {0.3, 0.75, 0});
  };
  return strip;
}

/// Head of a table over the name of the group that goes on below it.
std::shared_ptr<const Strip> head_with_group(const std::shared_ptr<const Strip>& head, const TableRow& group,
                                             Canvas& canvas, double width) {
  TableRow continued = group;
  continued.cells[0] += ", continued";
  const Strip name = group_strip(continued, canvas, width);
  Strip both = *head;
  both.height += name.height;
  both.draw = [head, name](Canvas& c, Point at) {
    head->draw(c, at);
    name.draw(c, {at.x, at.y + head->height});
  };
  return std::make_shared<const Strip>(std::move(both));
}

/// One column of facts as it is to be drawn: where each fact stands below the top.
struct FactPlaces {
  std::vector<double> tops;
  double height = 0;
};

double label_width(double width) { return std::min(width * kFactLabelFrac, kFactLabelMost); }
TextStyle label_style(double width) {
  return {kSmallText, false, 0.25, label_width(width) - 4, TextAlign::left};
}
TextStyle value_style(double width) {
  return {kBodyText, false, 0, width - label_width(width), TextAlign::left};
}

FactPlaces place_facts(const FactColumn& column, Canvas& canvas, double width) {
  FactPlaces out;
  if (!column.heading.empty()) out.height = canvas.measure(column.heading, {9, true, 0, width}).height + 2;
  for (const auto& [label, value] : column.facts) {
    out.tops.push_back(out.height);
    double height = canvas.measure(label, label_style(width)).height;
    height =
        std::max(height, value.empty() ? kWritingLine : canvas.measure(value, value_style(width)).height);
    out.height += height + kFactGap;
  }
  return out;
}

void draw_facts(Canvas& c, Point at, const FactColumn& column, const FactPlaces& places, double width) {
  if (!column.heading.empty()) c.text(at, column.heading, {9, true, 0, width});
  const double value_x = at.x + label_width(width);
  for (std::size_t i = 0; i < column.facts.size(); ++i) {
    const auto& [label, value] = column.facts[i];
    const double y = at.y + places.tops[i];
    c.text({at.x, y + 0.4}, label, label_style(width));
    if (value.empty()) {
      c.line({value_x, y + kWritingLine - 2}, {at.x + width, y + kWritingLine - 2}, {0.4, 0.45, 0});
    } else {
      c.text({value_x, y}, value, value_style(width));
    }
  }
}

}  // namespace

std::vector<Strip> table_strips(const TableBlock& table, Canvas& canvas, double width) {
  const std::vector<ColumnPlace> places = places_of(table, canvas, width);
  std::vector<Strip> out;
  out.push_back(head_strip(table, places, canvas, width));
  const auto head = std::make_shared<const Strip>(out.front());
  std::shared_ptr<const Strip> head_of_row = head;
  for (const TableRow& row : table.rows) {
    const bool spans = row.cells.size() <= 1 && places.size() > 1;
    const bool begins_group = spans && row.is_strong && !row.cells.empty();
    Strip strip = spans ? group_strip(row, canvas, width) : row_strip(row, places, canvas, width);
    strip.head = begins_group ? head : head_of_row;
    if (begins_group) head_of_row = head_with_group(head, row, canvas, width);
    if (table.rows.size() <= kUndividedRows && &row != &table.rows.back()) strip.stays_with_next = true;
    out.push_back(std::move(strip));
  }
  return out;
}

std::vector<Strip> facts_strips(const FactsBlock& block, Canvas& canvas, double width) {
  const double count = static_cast<double>(std::max<std::size_t>(block.columns.size(), 1));
  const double column_width = (width - kColumnGap * (count - 1)) / count;
  Strip strip;
  strip.space_before = 5;
  std::vector<FactPlaces> places;
  for (const FactColumn& column : block.columns) {
    places.push_back(place_facts(column, canvas, column_width));
    strip.height = std::max(strip.height, places.back().height);
  }
  strip.draw = [block, places, column_width](Canvas& c, Point at) {
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
      const double x = at.x + (column_width + kColumnGap) * static_cast<double>(i);
      draw_facts(c, {x, at.y}, block.columns[i], places[i], column_width);
    }
  };
  return {strip};
}

}  // namespace leeward::daemon
