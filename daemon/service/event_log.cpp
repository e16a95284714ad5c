#include "daemon/service/event_log.hpp"

#include <spdlog/async.h>
#include <spdlog/sinks/stdout_sinks.h>

#include "daemon/words/sentences.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kQueueLines = 1024;

/// What comes with nearly every tick would bury the rest.
bool is_worth_a_line(control::EventKind kind) { return kind != control::EventKind::limited; }

spdlog::level::level_enum level_of(control::EventKind kind) {
  switch (kind) {
    case control::EventKind::tripped:
    case control::EventKind::sensor_lost:
    case control::EventKind::restriction_mismatch:
    case control::EventKind::too_windy:
    case control::EventKind::nobody_answered:
    case control::EventKind::presence_due:
    case control::EventKind::presence_lowered:
    case control::EventKind::tick_late:
      return spdlog::level::warn;
    default:
      return spdlog::level::info;
  }
}
}  // namespace

EventLog::EventLog(const control::EngineConfig& config)
    : config_(config), threads_(std::make_shared<spdlog::details::thread_pool>(kQueueLines, 1)) {
  auto sink = std::make_shared<spdlog::sinks::stderr_sink_mt>();
  logger_ = std::make_shared<spdlog::async_logger>("leeward", std::move(sink), threads_,
                                                   spdlog::async_overflow_policy::overrun_oldest);
  logger_->set_pattern("%Y-%m-%dT%H:%M:%S.%e%z %^%l%$ %v");
}

EventLog::~EventLog() {
  logger_->flush();
  logger_.reset();
}

void EventLog::take(const Snapshot& snapshot) noexcept {
  for (const control::Event& event : gaps_.thin(snapshot.events, snapshot.sample.wall_unix_ms)) {
    if (!is_worth_a_line(event.kind)) continue;
    logger_->log(level_of(event.kind), event_text(event, config_, snapshot.state.run));
  }
}

void EventLog::info(const std::string& line) { logger_->info(line); }
void EventLog::warn(const std::string& line) { logger_->warn(line); }

}  // namespace leeward::daemon
