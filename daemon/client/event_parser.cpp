#include "daemon/client/event_parser.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kMaxEventBytes = 1 << 20;
}  // namespace

std::vector<StreamEvent> EventParser::feed(std::string_view piece) {
  std::vector<StreamEvent> out;
  if (broken_) return out;
  rest_.append(piece);
  std::size_t begin = 0;
  for (std::size_t end = rest_.find('\n'); end != std::string::npos; end = rest_.find('\n', begin)) {
    std::string_view line(rest_.data() + begin, end - begin);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    take_line(line, out);
    begin = end + 1;
  }
  rest_.erase(0, begin);
  broken_ = rest_.size() + next_.data.size() > kMaxEventBytes;
  return out;
}

void EventParser::take_line(std::string_view line, std::vector<StreamEvent>& out) {
  if (line.empty()) {
    if (has_data_) out.push_back(next_);
    next_ = {};
    has_data_ = false;
    return;
  }
  const std::size_t colon = line.find(':');
  const std::string_view field = line.substr(0, colon);
  std::string_view value = colon == std::string_view::npos ? std::string_view{} : line.substr(colon + 1);
  if (!value.empty() && value.front() == ' ') value.remove_prefix(1);
  if (field == "id") next_.id = value;
  if (field == "event") next_.event = value;
  if (field == "data") {
    if (has_data_) next_.data += '\n';
    next_.data += value;
    has_data_ = true;
  }
}

}  // namespace leeward::daemon
