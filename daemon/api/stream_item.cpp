#include "daemon/api/stream_item.hpp"

namespace leeward::daemon {

std::string sse_text(const StreamItem& item) {
  std::string text;
  if (item.id != 0) text = "id: " + std::to_string(item.id) + "\n";
  return text + "event: " + item.name + "\ndata: " + *item.data + "\n\n";
}

std::string sse_text(const std::vector<StreamItem>& items) {
  std::string text;
  for (const StreamItem& item : items) text += sse_text(item);
  return text;
}

std::string live_text(std::int64_t id, std::string_view name, std::string_view data) {
  std::string text = "{";
  if (id != 0) text += "\"id\":" + std::to_string(id) + ",";
  text += "\"event\":\"";
  text += name;
  text += "\",\"data\":";
  text += data;
  return text + "}";
}

std::string live_text(const StreamItem& item) { return live_text(item.id, item.name, *item.data); }

StreamItem gap_item(std::string_view reason) {
  std::string data = "{\"reason\":\"";
  data += reason;
  data += "\"}";
  return {0, false, "gap", std::make_shared<const std::string>(std::move(data))};
}

}  // namespace leeward::daemon
