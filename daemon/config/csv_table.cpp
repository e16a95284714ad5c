#include "daemon/config/csv_table.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

std::string_view trimmed(std::string_view s) {
  const std::size_t first = s.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(" \t") - first + 1);
}

int letters_in(std::string_view s) {
  return static_cast<int>(std::count_if(
      s.begin(), s.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

/// The value that begins at `at`; moves `at` behind its separator, beyond the end after the last one.
/// @returns false where a quotation mark is not closed, or followed by more
bool take_cell(std::string_view line, std::size_t& at, CsvCell& cell) {
  const std::size_t begin = std::min(line.find_first_not_of(" \t", at), line.size());
  cell.column = letters_in(line.substr(0, begin)) + 1;
  if (begin >= line.size() || line[begin] != '"') {
    const std::size_t end = std::min(line.find(',', at), line.size());
    cell.text = trimmed(line.substr(at, end - at));
    at = end + 1;
    return true;
  }
  std::size_t i = begin + 1;
  for (; i < line.size(); ++i) {
    const bool is_doubled = line[i] == '"' && i + 1 < line.size() && line[i + 1] == '"';
    if (line[i] == '"' && !is_doubled) break;
    cell.text += line[i];
    if (is_doubled) ++i;
  }
  if (i >= line.size()) return false;
  const std::size_t end = std::min(line.find(',', i), line.size());
  at = end + 1;
  return trimmed(line.substr(i + 1, end - i - 1)).empty();
}

std::optional<CsvRow> row_of(std::string_view line, int number, Findings& findings) {
  CsvRow row{number, {}};
  for (std::size_t at = 0; at <= line.size();) {
    CsvCell cell;
    if (!take_cell(line, at, cell)) {
      findings.error(number, cell.column, "",
                     "a quotation mark opens a value and does not close it; take it away, or close it before "
                     "the comma");
      return std::nullopt;
    }
    row.cells.push_back(std::move(cell));
  }
  return row;
}

bool check_separator(const CsvRow& heading, Findings& findings) {
  if (heading.cells.size() > 1) return true;
  const std::string& only = heading.cells.front().text;
  if (only.find(';') == std::string::npos && only.find('\t') == std::string::npos) return true;
  findings.error(
      heading.line, 1, "",
      "the columns are not separated by commas; save the table with commas between the columns and "
      "points in the numbers");
  return false;
}

bool check_width(const CsvRow& row, std::size_t width, Findings& findings) {
  if (row.cells.size() <= width) return true;
  findings.error(row.line, row.cells[width].column, "",
                 "the row has " + std::to_string(row.cells.size()) + " values and the heading has " +
                     std::to_string(width) + "; a decimal comma looks so: write 1.5, not 1,5");
  return false;
}

}  // namespace

std::optional<CsvTable> parse_csv(std::string_view text, Findings& findings) {
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  CsvTable table;
  int number = 0;
  while (!text.empty()) {
    ++number;
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(end);
    if (text.starts_with("\r\n")) text.remove_prefix(1);
    if (!text.empty()) text.remove_prefix(1);
    if (trimmed(line).empty() || trimmed(line).front() == '#') continue;
    auto row = row_of(line, number, findings);
    if (!row) continue;
    if (table.heading.cells.empty()) {
      if (!check_separator(*row, findings)) return std::nullopt;
      table.heading = std::move(*row);
    } else if (check_width(*row, table.heading.cells.size(), findings)) {
      table.rows.push_back(std::move(*row));
    }
  }
  if (table.heading.cells.empty()) findings.error(0, 0, "", "there is no heading that names the columns");
  if (table.rows.empty() && findings.errors.empty())
    findings.error(0, 0, "", "there are no rows below the heading");
  if (!findings.errors.empty()) return std::nullopt;
  return table;
}

}  // namespace leeward::daemon
