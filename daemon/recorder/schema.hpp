#pragma once
/// The tables of a recording. A file explains itself: `meta` says what it is, `columns` and `enums` what the
/// columns and the numbers in `ticks` and `events` mean.

#include <cstdint>

#include "control/engine_state.hpp"
#include "daemon/recorder/recording_meta.hpp"
#include "daemon/recorder/sqlite_db.hpp"

namespace leeward::daemon {

/// user_version of the file. To be raised with every change after which a reader does not find what it wants.
inline constexpr std::int64_t kSchemaVersion = 4;
inline constexpr std::int64_t kApplicationId = 0x4c454557;  ///< tells a recording from any other database

/// Settings of the one connection that writes.
[[nodiscard]] control::Result<void> set_up_writer(Database& db);

/// Makes the tables of a new file and states where the run starts from, in one transaction.
[[nodiscard]] control::Result<void> create_recording(Database& db, const RecordingMeta& meta,
                                                     const control::EngineState& initial);

}  // namespace leeward::daemon
