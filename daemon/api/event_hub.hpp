#pragma once
/// Takes snapshots from the control thread and gives their events to every reader of the stream. Keeps
/// the recent ones so that a reader can go on where it was cut off.

#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "control/engine_config.hpp"
#include "daemon/api/gap_digest.hpp"
#include "daemon/api/snapshot.hpp"
#include "daemon/api/stream_queue.hpp"

namespace leeward::daemon {

/// Thread   publish() from the control thread; everything else from the thread that serves the readers.
class EventHub {
 public:
  /// @param first_id  ids count up from here; taken from the calendar they stay unique over restarts
  EventHub(const control::EngineConfig& config, std::int64_t first_id);

  /// Never blocks on a reader; when too much waits, snapshots without an event are dropped.
  void publish(const SnapshotPtr& snapshot);
  /// Called from publish(), at most once until the next drain(): lets the serving thread call drain().
  void set_notify(std::function<void()> notify);

  /// Turns what was published into stream items and hands them to the readers.
  void drain();

  /// @param last_event_id  what the reader saw last; nullopt: it begins now
  /// @param wake           called from drain() when the queue has got something
  [[nodiscard]] std::shared_ptr<StreamQueue> subscribe(std::optional<std::int64_t> last_event_id,
                                                       std::function<void()> wake);
  void unsubscribe(const std::shared_ptr<StreamQueue>& queue);
  [[nodiscard]] std::size_t reader_count() const { return readers_.size(); }
  /// Of the newest event; one before the first where there is none yet.
  [[nodiscard]] std::int64_t last_id() const { return next_id_ - 1; }

 private:
  struct Reader {
    std::shared_ptr<StreamQueue> queue;
    std::function<void()> wake;
  };
  void emit(const SnapshotPtr& snapshot);
  void deliver(const StreamItem& item);

  const control::EngineConfig& config_;
  std::mutex mutex_;  ///< guards the next three
  std::deque<SnapshotPtr> incoming_;
  std::function<void()> notify_;
  bool is_notified_ = false;

  const std::int64_t first_id_;
  std::int64_t next_id_;
  GapDigest gaps_;
  std::deque<StreamItem> recent_;    ///< without samples
  std::int64_t newest_lost_id_ = 0;  ///< the last one that fell out of recent_
  SnapshotPtr last_;
  std::vector<Reader> readers_;
};

}  // namespace leeward::daemon
