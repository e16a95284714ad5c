#pragma once
/// A small table of comma-separated values, with where everything stood.
/// Source   RFC 4180; besides it lines that begin with # are comments, blank lines are nothing, a byte order
///          mark at the beginning and blanks around a value are dropped

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

struct CsvCell {
  std::string text;
  int column = 0;  ///< of its first letter, from 1
};

struct CsvRow {
  int line = 0;
  std::vector<CsvCell> cells;
};

struct CsvTable {
  CsvRow heading;
  std::vector<CsvRow> rows;  ///< none longer than the heading
};

/// Errors   no heading, no rows, a row with more values than the heading, a quotation mark that is not
/// closed,
///          another separator than a comma; each says how to mend it
[[nodiscard]] std::optional<CsvTable> parse_csv(std::string_view text, Findings& findings);

}  // namespace leeward::daemon
