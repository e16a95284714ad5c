#include "daemon/recorder/schema.hpp"

#include "daemon/recorder/columns.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {

namespace {

using control::Result;

// Columns of real numbers have no type on purpose: a declared REAL would store -0.0 as 0, and a replay has
// to see every bit. A number that is not known (NaN) is NULL.
constexpr const char* kTables = R"(
CREATE TABLE meta(key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE columns(name TEXT PRIMARY KEY, kind TEXT NOT NULL, position INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE enums(column_name TEXT, number INTEGER, name TEXT NOT NULL,
  PRIMARY KEY(column_name, number)) WITHOUT ROWID;
CREATE TABLE requests(seq INTEGER, idx INTEGER, kind TEXT NOT NULL, json TEXT NOT NULL,
  PRIMARY KEY(seq, idx)) WITHOUT ROWID;
CREATE TABLE events(seq INTEGER, idx INTEGER, kind INTEGER NOT NULL, a INTEGER NOT NULL, b INTEGER NOT NULL,
  x, y, text TEXT NOT NULL, PRIMARY KEY(seq, idx)) WITHOUT ROWID;
CREATE TABLE refusals(seq INTEGER, idx INTEGER, refusal INTEGER NOT NULL, PRIMARY KEY(seq, idx)) WITHOUT ROWID;
CREATE TABLE results(seq INTEGER PRIMARY KEY, run_state TEXT NOT NULL, json TEXT NOT NULL);
)";

constexpr const char* kAbout =
    "A recording of one building airtightness test. ticks: what was read (sample_), commanded (command_) and "
    "why (trace_), one row a control period; columns and enums explain its columns and numbers. Pressures "
    "are "
    "indoor minus outdoor in pascals, flows in cubic metres per second at the calibration's density, stamps "
    "in "
    "nanoseconds of engine time. NULL in a column of kind real: not a number. requests, refusals and events "
    "belong to the tick of the same seq; results holds averages and result after that tick, the last row "
    "stands. Without meta.run_state the recording was interrupted.";

const char* kind_name(ColumnKind kind) {
  switch (kind) {
    case ColumnKind::real:
      return "real";
    case ColumnKind::integer:
      return "integer";
    case ColumnKind::boolean:
      return "boolean";
    case ColumnKind::enumeration:
      return "enum";
  }
  return "real";
}

std::string ticks_table(const std::vector<Column>& columns) {
  std::string sql = "CREATE TABLE ticks(seq INTEGER PRIMARY KEY";
  for (const Column& column : columns)
    sql += ",\n" + column.name + (column.kind == ColumnKind::real ? "" : " INTEGER NOT NULL");
  return sql + ")";
}

Result<void> put_enum(Database& db, std::string_view column, std::span<const std::string_view> names) {
  auto insert = db.prepare("INSERT INTO enums VALUES(?,?,?)");
  if (!insert) return tl::unexpected(insert.error());
  for (std::size_t i = 0; i < names.size(); ++i) {
    insert->bind(0, column);
    insert->bind(1, static_cast<std::int64_t>(i));
    insert->bind(2, names[i]);
    if (auto done = insert->run(); !done) return done;
  }
  return {};
}

Result<void> put_columns(Database& db, const std::vector<Column>& columns) {
  auto insert = db.prepare("INSERT INTO columns VALUES(?,?,?)");
  if (!insert) return tl::unexpected(insert.error());
  std::int64_t position = 0;
  for (const Column& column : columns) {
    insert->bind(0, std::string_view(column.name));
    insert->bind(1, std::string_view(kind_name(column.kind)));
    insert->bind(2, ++position);
    if (auto done = insert->run(); !done) return done;
    if (auto done = put_enum(db, column.name, column.enum_names); !done) return done;
  }
  if (auto done = put_enum(db, "events.kind", EnumNames<control::EventKind>::kNames); !done) return done;
  return put_enum(db, "refusals.refusal", EnumNames<control::Refusal>::kNames);
}

Result<void> put_meta(Database& db, const RecordingMeta& meta, const control::EngineState& initial) {
  auto insert = db.prepare("INSERT INTO meta VALUES(?,?)");
  if (!insert) return tl::unexpected(insert.error());
  const std::pair<std::string_view, std::string> rows[] = {
      {"about", kAbout},
      {"run_id", meta.run_id},
      {"software_version", meta.software_version},
      {"procedure", meta.procedure},
      {"building", meta.building},
      {"started_unix_ms", std::to_string(meta.started_unix_ms)},
      {"fans", std::to_string(meta.engine.fans.size())},
      {"rig_toml", meta.rig_text},
      {"engine_json", json_text(to_json_value(meta.engine))},
      {"initial_state_json", json_text(to_json_value(initial))},
  };
  for (const auto& [key, value] : rows) {
    insert->bind(0, key);
    insert->bind(1, std::string_view(value));
    if (auto done = insert->run(); !done) return done;
  }
  return {};
}

}  // namespace

Result<void> set_up_writer(Database& db) {
  // FULL: a power cut costs at most the batch that was not yet committed. No memory map: it turns an I/O
  // error into a signal.
  return db.run(
      "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA journal_size_limit=4194304; "
      "PRAGMA mmap_size=0");
}

Result<void> create_recording(Database& db, const RecordingMeta& meta, const control::EngineState& initial) {
  const auto columns = tick_columns(meta.engine.fans.size());
  const std::string ids = "PRAGMA application_id=" + std::to_string(kApplicationId) +
                          "; PRAGMA user_version=" + std::to_string(kSchemaVersion);
  if (auto done = db.run("BEGIN IMMEDIATE"); !done) return done;
  if (auto done = db.run(ids); !done) return done;
  if (auto done = db.run(kTables); !done) return done;
  if (auto done = db.run(ticks_table(columns)); !done) return done;
  if (auto done = put_columns(db, columns); !done) return done;
  if (auto done = put_meta(db, meta, initial); !done) return done;
  return db.run("COMMIT");
}

}  // namespace leeward::daemon
