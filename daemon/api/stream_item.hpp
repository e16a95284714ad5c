#pragma once
/// One event on its way to the readers, and how it goes over each wire.

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace leeward::daemon {

struct StreamItem {
  std::int64_t id = 0;  ///< 0: not in the row of events, as a gap
  bool is_sample = false;
  std::string name;
  std::shared_ptr<const std::string> data;  ///< JSON
};

/// As text/event-stream.
[[nodiscard]] std::string sse_text(const StreamItem& item);
[[nodiscard]] std::string sse_text(const std::vector<StreamItem>& items);

/// {"id":ID,"event":NAME,"data":DATA}; the id is left out where there is none.
[[nodiscard]] std::string live_text(std::int64_t id, std::string_view name, std::string_view data);
[[nodiscard]] std::string live_text(const StreamItem& item);

/// Where a reader lost something, and why.
[[nodiscard]] StreamItem gap_item(std::string_view reason);

}  // namespace leeward::daemon
