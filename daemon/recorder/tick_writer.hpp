#pragma once
/// Puts ticks and snapshots into an open recording. Putting one twice leaves it as once: a commit that
/// reported an error may have succeeded all the same.

#include <cstddef>
#include <cstdint>

#include "control/request.hpp"
#include "daemon/recorder/recording_meta.hpp"
#include "daemon/recorder/sqlite_db.hpp"
#include "daemon/recorder/tick_record.hpp"

namespace leeward::daemon {

class TickWriter {
 public:
  /// @param engine  outlives the writer; names for the event texts
  [[nodiscard]] static control::Result<TickWriter> make(Database db, const control::EngineConfig& engine);

  [[nodiscard]] control::Result<void> begin();
  [[nodiscard]] control::Result<void> put(const TickRecord& tick);
  [[nodiscard]] control::Result<void> put(const RunSnapshot& snapshot);
  /// States how and when the run ended.
  [[nodiscard]] control::Result<void> put_end(control::RunState state, std::int64_t unix_ms);
  [[nodiscard]] control::Result<void> commit();
  [[nodiscard]] const Database& database() const { return db_; }

 private:
  TickWriter(Database db, const control::EngineConfig& engine) : db_(std::move(db)), engine_(&engine) {}
  [[nodiscard]] control::Result<void> put_row(const TickRecord& tick);
  [[nodiscard]] control::Result<void> put_requests(const TickRecord& tick);
  [[nodiscard]] control::Result<void> put_events(const TickRecord& tick);
  [[nodiscard]] control::Result<void> put_refusals(const TickRecord& tick);

  // The statements are declared after the connection, so that they are finalized before it closes.
  Database db_;
  const control::EngineConfig* engine_;
  control::RunSpec run_;  ///< of the last run request, for the event texts
  Statement tick_;
  Statement request_;
  Statement event_;
  Statement refusal_;
  Statement snapshot_;
  Statement meta_;
};

}  // namespace leeward::daemon
