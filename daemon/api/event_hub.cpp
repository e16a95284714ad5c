#include "daemon/api/event_hub.hpp"

#include <algorithm>

#include "daemon/api/event_json.hpp"
#include "daemon/words/json.hpp"
#include "daemon/words/plain_number.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kMaxIncoming = 256;
constexpr std::size_t kMaxRecent = 1024;
constexpr std::size_t kMaxWaiting = 256;  ///< of one reader

StreamItem make_item(std::int64_t id, const StreamMessage& message) {
  nlohmann::json data = message.data;
  make_plain(data);
  return {id, message.name == "sample", message.name, std::make_shared<const std::string>(json_text(data))};
}
}  // namespace

EventHub::EventHub(const control::EngineConfig& config, std::int64_t first_id)
    : config_(config), first_id_(first_id), next_id_(first_id) {}

void EventHub::set_notify(std::function<void()> notify) {
  const std::lock_guard lock(mutex_);
  notify_ = std::move(notify);
}

void EventHub::publish(const SnapshotPtr& snapshot) {
  const std::lock_guard lock(mutex_);
  if (incoming_.size() >= kMaxIncoming) {
    const auto plain = std::find_if(incoming_.begin(), incoming_.end(),
                                    [](const SnapshotPtr& waiting) { return waiting->events.empty(); });
    incoming_.erase(plain == incoming_.end() ? incoming_.begin() : plain);
  }
  incoming_.push_back(snapshot);
  if (is_notified_ || !notify_) return;
  is_notified_ = true;
  notify_();
}

void EventHub::drain() {
  std::deque<SnapshotPtr> taken;
  {
    const std::lock_guard lock(mutex_);
    taken.swap(incoming_);
    is_notified_ = false;
  }
  for (const SnapshotPtr& snapshot : taken) emit(snapshot);
  // A wake may end a reader and so change the list.
  const std::vector<Reader> readers = readers_;
  for (const Reader& reader : readers)
    if (!reader.queue->empty()) reader.wake();
}

void EventHub::emit(const SnapshotPtr& snapshot) {
  const control::Events events = gaps_.thin(snapshot->events, snapshot->sample.wall_unix_ms);
  for (const StreamMessage& message : messages_of(*snapshot, events, last_.get(), config_))
    deliver(make_item(next_id_++, message));
  last_ = snapshot;
}

void EventHub::deliver(const StreamItem& item) {
  if (!item.is_sample) {
    recent_.push_back(item);
    if (recent_.size() > kMaxRecent) {
      newest_lost_id_ = recent_.front().id;
      recent_.pop_front();
    }
  }
  for (const Reader& reader : readers_) reader.queue->push(item);
}

std::shared_ptr<StreamQueue> EventHub::subscribe(std::optional<std::int64_t> last_event_id,
                                                 std::function<void()> wake) {
  // One that goes on is given the whole past at once.
  auto queue = std::make_shared<StreamQueue>(last_event_id ? kMaxRecent + kMaxWaiting : kMaxWaiting);
  if (last_event_id) {
    const bool from_elsewhere = *last_event_id < first_id_ - 1 || *last_event_id >= next_id_;
    if (from_elsewhere || *last_event_id < newest_lost_id_)
      queue->push(gap_item("events before this are gone"));
    for (const StreamItem& item : recent_)
      if (from_elsewhere || item.id > *last_event_id) queue->push(item);
  }
  readers_.push_back({queue, std::move(wake)});
  return queue;
}

void EventHub::unsubscribe(const std::shared_ptr<StreamQueue>& queue) {
  std::erase_if(readers_, [&queue](const Reader& reader) { return reader.queue == queue; });
}

}  // namespace leeward::daemon
