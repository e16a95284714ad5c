#pragma once
/// Requests on their way to the control thread. Bounded, but a stop always finds room, and whatever was
/// asked before a stop is dropped: nothing may start the fan after it.

#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <vector>

#include "control/engine.hpp"
#include "daemon/api/backend.hpp"

namespace leeward::daemon {

using Completion = std::function<void(const SubmitOutcome&)>;

struct QueuedRequest {
  control::Request request;
  std::vector<Completion> done;  ///< several where stops were joined
};
using QueuedPtr = std::unique_ptr<QueuedRequest>;

/// Thread   any
class RequestQueue {
 public:
  explicit RequestQueue(std::size_t capacity = 32) : capacity_(capacity) {}

  /// What a push pushed out: to be answered by the caller.
  struct Pushed {
    bool taken = true;  ///< false: full or closed
    std::deque<QueuedPtr> overtaken;
  };
  [[nodiscard]] Pushed push(QueuedPtr request);
  /// At most one tick's worth, oldest first.
  [[nodiscard]] std::vector<QueuedPtr> take();
  /// Takes all that is left; nothing goes in any more.
  [[nodiscard]] std::deque<QueuedPtr> close();

 private:
  const std::size_t capacity_;
  std::mutex mutex_;
  std::deque<QueuedPtr> waiting_;
  bool is_closed_ = false;
};

}  // namespace leeward::daemon
