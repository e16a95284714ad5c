#pragma once
/// The log: what happened, in words, on standard error, without ever holding up the control thread.

#include <memory>
#include <string>

#include "control/engine_config.hpp"
#include "daemon/api/gap_digest.hpp"
#include "daemon/api/snapshot.hpp"

namespace spdlog {
class logger;
namespace details {
class thread_pool;
}
}  // namespace spdlog

namespace leeward::daemon {

class EventLog {
 public:
  explicit EventLog(const control::EngineConfig& config);
  ~EventLog();
  EventLog(const EventLog&) = delete;
  EventLog& operator=(const EventLog&) = delete;

  /// The events of a tick that a person may look for afterwards. Full queue: the oldest lines are dropped.
  void take(const Snapshot& snapshot) noexcept;
  void info(const std::string& line);
  void warn(const std::string& line);

 private:
  const control::EngineConfig& config_;
  GapDigest gaps_;
  std::shared_ptr<spdlog::details::thread_pool> threads_;
  std::shared_ptr<spdlog::logger> logger_;
};

}  // namespace leeward::daemon
