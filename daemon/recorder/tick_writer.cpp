#include "daemon/recorder/tick_writer.hpp"

#include <bit>
#include <utility>

#include "daemon/recorder/columns.hpp"
#include "daemon/words/event_text.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {

namespace {

using control::Result;

std::string insert_tick(std::size_t fans) {
  std::string sql = "INSERT OR REPLACE INTO ticks VALUES(?";
  for (std::size_t i = 0; i < tick_columns(fans).size(); ++i) sql += ",?";
  return sql + ")";
}

/// Binds one field after the other.
class FieldBinder {
 public:
  explicit FieldBinder(Statement& statement, int first) : statement_(statement), next_(first) {}
  void operator()(double value) {
    // +0.0 as the integer 0 takes no room at all in the file and reads back as +0.0.
    if (std::bit_cast<std::uint64_t>(value) == 0) {
      statement_.bind(next_++, std::int64_t{0});
    } else {
      statement_.bind(next_++, value);
    }
  }
  template <class T>
  void operator()(T value) {
    statement_.bind(next_++, static_cast<std::int64_t>(value));
  }

 private:
  Statement& statement_;
  int next_;
};

void bind_key(Statement& statement, std::uint64_t seq, std::size_t idx) {
  statement.bind(0, static_cast<std::int64_t>(seq));
  statement.bind(1, static_cast<std::int64_t>(idx));
}

}  // namespace

Result<TickWriter> TickWriter::make(Database db, const control::EngineConfig& engine) {
  TickWriter writer(std::move(db), engine);
  const std::pair<Statement*, std::string> statements[] = {
      {&writer.tick_, insert_tick(engine.fans.size())},
      {&writer.request_, "INSERT OR REPLACE INTO requests VALUES(?,?,?,?)"},
      {&writer.event_, "INSERT OR REPLACE INTO events VALUES(?,?,?,?,?,?,?,?)"},
      {&writer.refusal_, "INSERT OR REPLACE INTO refusals VALUES(?,?,?)"},
      {&writer.snapshot_, "INSERT OR REPLACE INTO results VALUES(?,?,?)"},
      {&writer.meta_, "INSERT OR REPLACE INTO meta VALUES(?,?)"},
  };
  for (const auto& [statement, sql] : statements) {
    auto prepared = writer.db_.prepare(sql);
    if (!prepared) return tl::unexpected(prepared.error());
    *statement = std::move(*prepared);
  }
  return writer;
}

Result<void> TickWriter::begin() { return db_.run("BEGIN IMMEDIATE"); }

Result<void> TickWriter::put(const TickRecord& tick) {
  if (auto done = put_row(tick); !done) return done;
  if (auto done = put_requests(tick); !done) return done;
  if (auto done = put_events(tick); !done) return done;
  return put_refusals(tick);
}

Result<void> TickWriter::put_row(const TickRecord& tick) {
  tick_.bind(0, static_cast<std::int64_t>(tick.seq));
  FieldBinder binder(tick_, 1);
  for_each_field(tick.sample, engine_->fans.size(), binder);
  for_each_field(tick.command, engine_->fans.size(), binder);
  for_each_field(tick.trace, engine_->fans.size(), binder);
  return tick_.run();
}

Result<void> TickWriter::put_requests(const TickRecord& tick) {
  for (std::size_t i = 0; i < tick.requests.size(); ++i) {
    const control::Request& request = tick.requests[i];
    if (request.kind == control::RequestKind::start_run) run_ = request.run;
    bind_key(request_, tick.seq, i);
    request_.bind(2, name_of(request.kind));
    request_.bind(3, std::string_view(json_text(to_json_value(request))));
    if (auto done = request_.run(); !done) return done;
  }
  return {};
}

Result<void> TickWriter::put_events(const TickRecord& tick) {
  for (std::size_t i = 0; i < tick.events.size(); ++i) {
    const control::Event& event = tick.events[i];
    bind_key(event_, tick.seq, i);
    event_.bind(2, static_cast<std::int64_t>(event.kind));
    event_.bind(3, event.a);
    event_.bind(4, event.b);
    event_.bind(5, event.x);
    event_.bind(6, event.y);
    event_.bind(7, std::string_view(event_text(event, *engine_, run_)));
    if (auto done = event_.run(); !done) return done;
  }
  return {};
}

Result<void> TickWriter::put_refusals(const TickRecord& tick) {
  for (std::size_t i = 0; i < tick.refusals.size(); ++i) {
    bind_key(refusal_, tick.seq, i);
    refusal_.bind(2, static_cast<std::int64_t>(tick.refusals[i]));
    if (auto done = refusal_.run(); !done) return done;
  }
  return {};
}

Result<void> TickWriter::put(const RunSnapshot& snapshot) {
  snapshot_.bind(0, static_cast<std::int64_t>(snapshot.seq));
  snapshot_.bind(1, name_of(snapshot.run_state));
  snapshot_.bind(2, std::string_view(json_text(to_json_value(snapshot))));
  return snapshot_.run();
}

Result<void> TickWriter::put_end(control::RunState state, std::int64_t unix_ms) {
  meta_.bind(0, std::string_view("run_state"));
  meta_.bind(1, name_of(state));
  if (auto done = meta_.run(); !done) return done;
  meta_.bind(0, std::string_view("ended_unix_ms"));
  meta_.bind(1, std::string_view(std::to_string(unix_ms)));
  return meta_.run();
}

Result<void> TickWriter::commit() { return db_.run("COMMIT"); }

}  // namespace leeward::daemon
