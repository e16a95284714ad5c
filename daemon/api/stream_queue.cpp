#include "daemon/api/stream_queue.hpp"

#include <algorithm>

namespace leeward::daemon {

void StreamQueue::push(const StreamItem& item) {
  if (overflowed_) return;
  if (item.is_sample) std::erase_if(items_, [](const StreamItem& waiting) { return waiting.is_sample; });
  if (items_.size() < capacity_) {
    items_.push_back(item);
    return;
  }
  if (item.is_sample) return;
  items_.clear();
  overflowed_ = true;
  gap_due_ = true;
}

std::string StreamQueue::take() {
  std::string text;
  for (const StreamItem& item : items_) text += *item.text;
  items_.clear();
  if (gap_due_) text += "event: gap\ndata: {\"reason\":\"reader too slow\"}\n\n";
  gap_due_ = false;
  return text;
}

}  // namespace leeward::daemon
