#include "daemon/service/request_queue.hpp"

#include <iterator>

namespace leeward::daemon {
namespace {
bool is_stop(const QueuedRequest& queued) { return queued.request.kind == control::RequestKind::stop; }
}  // namespace

RequestQueue::Pushed RequestQueue::push(QueuedPtr request) {
  Pushed result;
  const std::lock_guard lock(mutex_);
  if (is_closed_) {
    result.taken = false;
    result.overtaken.push_back(std::move(request));
    return result;
  }
  if (is_stop(*request)) {
    for (QueuedPtr& earlier : waiting_) {
      if (is_stop(*earlier)) {
        std::move(earlier->done.begin(), earlier->done.end(), std::back_inserter(request->done));
      } else {
        result.overtaken.push_back(std::move(earlier));
      }
    }
    waiting_.clear();
  } else if (waiting_.size() >= capacity_) {
    result.taken = false;
    result.overtaken.push_back(std::move(request));
    return result;
  }
  waiting_.push_back(std::move(request));
  return result;
}

std::vector<QueuedPtr> RequestQueue::take() {
  std::vector<QueuedPtr> taken;
  const std::lock_guard lock(mutex_);
  while (!waiting_.empty() && taken.size() < control::kMaxRequestsPerTick) {
    taken.push_back(std::move(waiting_.front()));
    waiting_.pop_front();
  }
  return taken;
}

std::deque<QueuedPtr> RequestQueue::close() {
  const std::lock_guard lock(mutex_);
  is_closed_ = true;
  return std::exchange(waiting_, {});
}

}  // namespace leeward::daemon
