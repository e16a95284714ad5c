#include "daemon/recorder/columns.hpp"

#include "control/command.hpp"
#include "control/trace.hpp"

namespace leeward::daemon {

namespace columns_detail {

std::string joined(const std::string& owner, std::string_view field) {
  if (field == "value") return owner;
  return owner + "_" + std::string(field);
}

}  // namespace columns_detail

std::vector<Column> tick_columns(std::size_t fans) {
  std::vector<Column> columns;
  add_columns<control::Sample>("sample", fans, columns);
  add_columns<control::Command>("command", fans, columns);
  add_columns<control::Trace>("trace", fans, columns);
  return columns;
}

}  // namespace leeward::daemon
