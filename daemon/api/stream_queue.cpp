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

std::vector<StreamItem> StreamQueue::take() {
  std::vector<StreamItem> items(items_.begin(), items_.end());
  items_.clear();
  if (gap_due_) items.push_back(gap_item("reader too slow"));
  gap_due_ = false;
  return items;
}

}  // namespace leeward::daemon
