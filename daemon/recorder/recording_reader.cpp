#include "daemon/recorder/recording_reader.hpp"

#include <algorithm>
#include <charconv>
#include <utility>

#include "daemon/recorder/schema.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {

namespace {

using control::Errc;
using control::Error;
using control::Result;

constexpr std::size_t kChunk = 500;

tl::unexpected<Error> damaged(const std::string& field, const std::string& text) {
  return tl::unexpected(Error{Errc::io, field, text});
}

std::string of_other_version(std::int64_t version) {
  return "is a recording of version " + std::to_string(version) + ", and this leeward reads version " +
         std::to_string(kSchemaVersion) + "; open it with the " +
         (version < kSchemaVersion ? "older" : "newer") + " leeward that made it";
}

std::int64_t whole_number(const std::string& text) {
  std::int64_t value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

}  // namespace

Result<RecordingReader> RecordingReader::open(const std::filesystem::path& path) {
  auto db = Database::open(path, Database::Mode::read_only);
  if (!db) return tl::unexpected(db.error());
  const auto application = db->integer_of("PRAGMA application_id");
  if (!application) return damaged(path.string(), application.error().text);
  if (*application != kApplicationId) return damaged(path.string(), "is not a recording");
  const auto version = db->integer_of("PRAGMA user_version");
  if (!version) return tl::unexpected(version.error());
  if (*version != kSchemaVersion)
    return tl::unexpected(Error{Errc::conflict, path.string(), of_other_version(*version)});
  RecordingReader reader(std::move(*db));
  if (auto done = reader.read_layout(); !done) return tl::unexpected(done.error());
  return reader;
}

Result<void> RecordingReader::read_layout() {
  const auto run_id = meta_text("run_id");
  const auto fans = meta_text("fans");
  if (!run_id || !fans) return damaged("meta", "cannot be read");
  run_id_ = *run_id;
  fans_ = static_cast<std::size_t>(std::clamp<std::int64_t>(whole_number(*fans), 0, control::kMaxFans));
  auto ticks = TickReader::make(db_, fans_);
  if (!ticks) return tl::unexpected(ticks.error());
  tick_reader_ = std::move(*ticks);
  return {};
}

Result<std::string> RecordingReader::meta_text(std::string_view key) const {
  auto select = db_.prepare("SELECT value FROM meta WHERE key = ?");
  if (!select) return tl::unexpected(select.error());
  select->bind(0, key);
  const auto row = select->step();
  if (!row) return tl::unexpected(row.error());
  return *row ? select->text(0) : std::string();
}

Result<RecordingMeta> RecordingReader::meta() const {
  RecordingMeta meta;
  std::string started;
  std::string engine;
  const std::pair<std::string_view, std::string*> texts[] = {
      {"run_id", &meta.run_id},       {"software_version", &meta.software_version},
      {"procedure", &meta.procedure}, {"building", &meta.building},
      {"started_unix_ms", &started},  {"rig_toml", &meta.rig_text},
      {"engine_json", &engine}};
  for (const auto& [key, text] : texts) {
    auto read = meta_text(key);
    if (!read) return tl::unexpected(read.error());
    *text = std::move(*read);
  }
  meta.started_unix_ms = whole_number(started);
  if (auto read = from_json_text(engine, "engine_json", meta.engine); !read)
    return tl::unexpected(read.error());
  return meta;
}

Result<control::EngineState> RecordingReader::initial_state() const {
  const auto text = meta_text("initial_state_json");
  if (!text) return tl::unexpected(text.error());
  control::EngineState state;
  if (auto read = from_json_text(*text, "initial_state_json", state); !read)
    return tl::unexpected(read.error());
  return state;
}

Result<RecordingSummary> RecordingReader::summary() const {
  RecordingSummary summary;
  auto select = db_.prepare("SELECT count(*), min(seq), max(seq) FROM ticks");
  if (!select) return tl::unexpected(select.error());
  const auto row = select->step();
  if (!row) return tl::unexpected(row.error());
  summary.ticks = static_cast<std::uint64_t>(select->integer(0));
  summary.first_seq = static_cast<std::uint64_t>(select->integer(1));
  summary.last_seq = static_cast<std::uint64_t>(select->integer(2));
  const auto state = meta_text("run_state");
  const auto ended = meta_text("ended_unix_ms");
  if (!state || !ended) return damaged("meta", "cannot be read");
  if (const auto known = from_name<control::RunState>(*state)) {
    summary.state = *known;
    summary.ended = true;
    summary.ended_unix_ms = whole_number(*ended);
  }
  return summary;
}

Result<std::vector<RunSnapshot>> RecordingReader::snapshots() const {
  auto select = db_.prepare("SELECT json FROM results ORDER BY seq");
  if (!select) return tl::unexpected(select.error());
  std::vector<RunSnapshot> snapshots;
  for (auto row = select->step();; row = select->step()) {
    if (!row) return tl::unexpected(row.error());
    if (!*row) return snapshots;
    snapshots.emplace_back();
    if (auto read = from_json_text(select->text(0), "results.json", snapshots.back()); !read)
      return tl::unexpected(read.error());
  }
}

Result<std::optional<RunSnapshot>> RecordingReader::last_snapshot() const {
  auto select = db_.prepare("SELECT json FROM results ORDER BY seq DESC LIMIT 1");
  if (!select) return tl::unexpected(select.error());
  const auto row = select->step();
  if (!row) return tl::unexpected(row.error());
  std::optional<RunSnapshot> snapshot;
  if (!*row) return snapshot;
  if (auto read = from_json_text(select->text(0), "results.json", snapshot.emplace()); !read)
    return tl::unexpected(read.error());
  return snapshot;
}

Result<std::vector<RecordedTick>> RecordingReader::ticks_after(std::optional<std::uint64_t> seq,
                                                               std::size_t limit) const {
  return tick_reader_.read(db_, seq, limit);
}

Result<void> RecordingReader::for_each_tick(const std::function<bool(const RecordedTick&)>& visit) const {
  std::optional<std::uint64_t> seq;
  std::size_t chunk = kChunk;
  for (;;) {
    const auto ticks = ticks_after(seq, chunk);
    if (!ticks && chunk == 1) return tl::unexpected(ticks.error());
    if (!ticks) {
      chunk = 1;  // what lies before the damage is worth having to the last tick
      continue;
    }
    for (const RecordedTick& tick : *ticks) {
      seq = tick.seq;
      if (!visit(tick)) return {};
    }
    if (ticks->size() < chunk) return {};
  }
}

}  // namespace leeward::daemon
