#pragma once
/// What waits to be sent to one reader of the event stream. Bounded: samples replace each other, the
/// newest wins; anything else is kept in order, and a reader who lets too much of it pile up is lost.

#include <cstddef>
#include <deque>
#include <vector>

#include "daemon/api/stream_item.hpp"

namespace leeward::daemon {

/// Not thread-safe: it belongs to the thread that serves its reader.
class StreamQueue {
 public:
  explicit StreamQueue(std::size_t capacity = 256) : capacity_(capacity) {}
  void push(const StreamItem& item);
  /// Takes all that waits, in order of the ids. After an overflow: a last `gap` event.
  [[nodiscard]] std::vector<StreamItem> take();
  [[nodiscard]] bool empty() const { return items_.empty() && !gap_due_; }
  [[nodiscard]] std::size_t size() const { return items_.size(); }
  /// Too much waited: the reader must be closed after what take() gave.
  [[nodiscard]] bool overflowed() const { return overflowed_; }

 private:
  std::size_t capacity_;
  std::deque<StreamItem> items_;
  bool overflowed_ = false;
  bool gap_due_ = false;
};

}  // namespace leeward::daemon
