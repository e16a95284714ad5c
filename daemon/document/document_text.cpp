#include "daemon/document/document_model.hpp"

namespace leeward::daemon {

namespace {

class TextMaker {
 public:
  void operator()(const TitleBlock& b) {
    line(b.title);
    line(b.subtitle);
    for (const std::string& text : b.side) line(text);
  }
  void operator()(const BannerBlock& b) {
    line(b.words);
    line(b.text);
  }
  void operator()(const HeadingBlock& b) { line(b.text); }
  void operator()(const ParagraphBlock& b) { line(b.text); }
  void operator()(const FactsBlock& b) {
    for (const FactColumn& column : b.columns) {
      line(column.heading);
      facts(column.facts);
    }
  }
  void operator()(const HeadlinesBlock& b) {
    for (const Headline& h : b.figures)
      line(h.symbol + ": " + h.value + ", " + h.interval + ", " + h.meaning);
  }
  void operator()(const TableBlock& b) {
    for (const TableColumn& column : b.columns)
      line(column.title + (column.unit.empty() ? "" : ", " + column.unit));
    for (const TableRow& row : b.rows) {
      std::string joined;
      for (const std::string& cell : row.cells) joined += (joined.empty() ? "" : " | ") + cell;
      line(joined);
    }
  }
  void operator()(const PicturesBlock&) {}
  void operator()(const NoticesBlock& b) {
    for (const Notice& notice : b.notices) line(notice.title + ": " + notice.text);
  }
  void operator()(const SignatureBlock& b) {
    line(b.statement);
    facts(b.fields);
  }
  void operator()(const PageBreakBlock&) {}
  [[nodiscard]] std::string end() { return std::move(out_); }

 private:
  void line(const std::string& text) { out_ += text + "\n"; }
  void facts(const std::vector<Fact>& facts) {
    for (const auto& [label, value] : facts) line(label + ": " + value);
  }
  std::string out_;
};

}  // namespace

std::string document_text(const Document& document) {
  TextMaker maker;
  for (const Block& block : document.blocks) std::visit(maker, block);
  return maker.end() + document.footer + "\n";
}

}  // namespace leeward::daemon
