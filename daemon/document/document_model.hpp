#pragma once
/// A report as content, before anyone thinks of pages: blocks in reading order.

#include <cstdint>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace leeward::daemon {

struct TitleBlock {
  std::string title;
  std::string subtitle;
  std::vector<std::string> side;  ///< short lines at the right
};

/// How the run stands, in words that cannot be missed.
struct BannerBlock {
  std::string words;
  std::string text;
  bool is_alarm = false;  ///< large white words on black
};

struct HeadingBlock {
  std::string text;
};

struct ParagraphBlock {
  std::string text;
};

/// Label and value; an empty value becomes a line to write on.
using Fact = std::pair<std::string, std::string>;
struct FactColumn {
  std::string heading;
  std::vector<Fact> facts;
};
struct FactsBlock {
  std::vector<FactColumn> columns;
};

/// The few figures that a reader looks for first.
struct Headline {
  std::string symbol;
  std::string value;
  std::string interval;
  std::string meaning;
};
struct HeadlinesBlock {
  std::vector<Headline> figures;
};

enum class CellAlign : std::uint8_t { left, right };
struct TableColumn {
  std::string title;
  std::string unit;
  CellAlign align = CellAlign::left;
  double weight = 1;  ///< share of the width
};
struct TableRow {
  std::vector<std::string> cells;  ///< a single one spans the table: the head of a group
  bool is_strong = false;
};
struct TableBlock {
  std::vector<TableColumn> columns;
  std::vector<TableRow> rows;
};

enum class Picture : std::uint8_t { pressure, curve, residuals, budget };
/// A picture in its place: fractions of the width, points of height.
struct Panel {
  Picture picture = Picture::pressure;
  double left_frac = 0;
  double width_frac = 1;
  double top = 0;
  double height = 150;
};
struct PicturesBlock {
  std::vector<Panel> panels;
};

enum class NoticeSeverity : std::uint8_t { plain, caution, serious };
/// Something to be said beside the figures: a deviation, a caution, a finding, a target missed.
struct Notice {
  std::string title;
  std::string text;
  NoticeSeverity severity = NoticeSeverity::plain;
};
struct NoticesBlock {
  std::vector<Notice> notices;
};

/// Lines for a name, a date, a signature; those that are known are filled in.
struct SignatureBlock {
  std::string statement;
  std::vector<Fact> fields;
};

struct PageBreakBlock {};

using Block = std::variant<TitleBlock, BannerBlock, HeadingBlock, ParagraphBlock, FactsBlock, HeadlinesBlock,
                           TableBlock, PicturesBlock, NoticesBlock, SignatureBlock, PageBreakBlock>;

struct Document {
  std::string title;
  std::string created;  ///< ISO 8601, UTC
  std::string footer;
  std::vector<Block> blocks;
};

/// Every text of the document in reading order, one a line.
[[nodiscard]] std::string document_text(const Document& document);

}  // namespace leeward::daemon
