#include "daemon/recorder/recording_check.hpp"

#include <algorithm>
#include <utility>

#include "daemon/recorder/schema.hpp"
#include "daemon/recorder/sqlite_db.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {
namespace checking {
using control::Errc;
using control::Error;
using control::Result;

/// More tell a person nothing new.
constexpr std::size_t kMostDamage = 8;
constexpr std::size_t kMostRanges = 100;
constexpr double kNsPerS = 1e9;

/// Puts ticks, which come one by one, into ranges.
class RangeCollector {
 public:
  void add(std::uint64_t seq, std::int64_t stamp_ns) {
    first_ns_ = is_empty_ ? stamp_ns : std::min(first_ns_, stamp_ns);
    last_ns_ = is_empty_ ? stamp_ns : std::max(last_ns_, stamp_ns);
    is_empty_ = false;
    if (!ranges_.empty() && seq == ranges_.back().last_seq + 1) {
      ranges_.back().last_seq = seq;
    } else if (!ranges_.empty() && seq + 1 == ranges_.back().first_seq) {
      ranges_.back().first_seq = seq;
    } else if (ranges_.size() < kMostRanges) {
      ranges_.push_back({seq, seq});
    }
  }
  [[nodiscard]] std::uint64_t last_seq() const { return ranges_.empty() ? 0 : ranges_.back().last_seq; }
  [[nodiscard]] bool is_empty() const { return is_empty_; }
  [[nodiscard]] double span_s() const { return static_cast<double>(last_ns_ - first_ns_) / kNsPerS; }
  [[nodiscard]] std::vector<TickRange> ascending() {
    std::sort(ranges_.begin(), ranges_.end(),
              [](const TickRange& a, const TickRange& b) { return a.first_seq < b.first_seq; });
    return ranges_;
  }

 private:
  std::vector<TickRange> ranges_;
  bool is_empty_ = true;
  std::int64_t first_ns_ = 0;
  std::int64_t last_ns_ = 0;
};

void note(RecordingCheck& check, const std::string& damage) {
  const bool is_known = std::find(check.damage.begin(), check.damage.end(), damage) != check.damage.end();
  if (!is_known && check.damage.size() < kMostDamage) check.damage.push_back(damage);
}

/// A file that is shorter than it says is refused as a whole, unless its reader takes it as it comes.
Result<Database> open_as_it_comes(const std::filesystem::path& path) {
  std::error_code none;
  if (!std::filesystem::is_regular_file(path, none))
    return tl::unexpected(Error{Errc::io, path.string(), "is no file"});
  auto db = Database::open(path, Database::Mode::read_only);
  if (!db) return db;
  if (auto done = db->run("PRAGMA writable_schema=ON"); !done) return tl::unexpected(done.error());
  const auto application = db->integer_of("PRAGMA application_id");
  if (!application) return tl::unexpected(Error{Errc::io, path.string(), application.error().text});
  if (*application != kApplicationId)
    return tl::unexpected(Error{Errc::io, path.string(), "is not a recording"});
  const auto version = db->integer_of("PRAGMA user_version");
  if (!version || *version != kSchemaVersion)
    return tl::unexpected(Error{Errc::conflict, path.string(), "is a recording of another version"});
  return db;
}

void check_file(const Database& db, RecordingCheck& check) {
  auto rows = db.prepare("PRAGMA integrity_check(" + std::to_string(kMostDamage) + ")");
  if (!rows) return note(check, rows.error().text);
  for (auto row = rows->step();; row = rows->step()) {
    if (!row) return note(check, row.error().text);
    if (!*row) return;
    if (rows->text(0) != "ok") note(check, rows->text(0));
  }
}

/// The file's own words about its run.
std::string meta_of(const Database& db, std::string_view key, RecordingCheck& check) {
  auto select = db.prepare("SELECT value FROM meta WHERE key = ?");
  if (!select) return note(check, select.error().text), std::string();
  select->bind(0, key);
  const auto row = select->step();
  if (!row) return note(check, row.error().text), std::string();
  return *row ? select->text(0) : std::string();
}

/// @returns whether all there are were read
bool read_ticks(const Database& db, const std::string& sql, std::uint64_t after, RangeCollector& ticks,
                RecordingCheck& check) {
  auto select = db.prepare(sql);
  if (!select) return note(check, select.error().text), false;
  select->bind(0, static_cast<std::int64_t>(after));
  for (auto row = select->step();; row = select->step()) {
    if (!row) return note(check, row.error().text), false;
    if (!*row) return true;
    ticks.add(static_cast<std::uint64_t>(select->integer(0)), select->integer(1));
  }
}

/// Forward up to the break; then backward from the end to it, so that what lies behind is found too.
void check_ticks(const Database& db, RecordingCheck& check) {
  RangeCollector ticks;
  const std::string columns = "SELECT seq, trace_stamp_ns FROM ticks WHERE seq >= ? ORDER BY seq ";
  if (!read_ticks(db, columns, 0, ticks, check)) {
    const std::uint64_t behind = ticks.is_empty() ? 0 : ticks.last_seq() + 1;
    (void)read_ticks(db, columns + "DESC", behind, ticks, check);
  }
  check.recorded_s = ticks.span_s();
  check.ticks = ticks.ascending();
}

void check_snapshots(const Database& db, RecordingCheck& check) {
  auto select = db.prepare("SELECT json FROM results ORDER BY seq");
  if (!select) return note(check, select.error().text);
  for (auto row = select->step();; row = select->step()) {
    if (!row) return note(check, row.error().text);
    if (!*row) return;
    if (parse_json(select->text(0))) {
      ++check.snapshots;
    } else {
      note(check, "averages that can't be read");
    }
  }
}
}  // namespace checking
}  // namespace

std::uint64_t RecordingCheck::readable() const {
  std::uint64_t count = 0;
  for (const TickRange& range : ticks) count += range.last_seq - range.first_seq + 1;
  return count;
}

control::Result<RecordingCheck> check_recording(const std::filesystem::path& path) {
  const auto db = checking::open_as_it_comes(path);
  if (!db) return tl::unexpected(db.error());
  RecordingCheck check;
  checking::check_file(*db, check);
  check.run_id = checking::meta_of(*db, "run_id", check);
  if (const auto state = from_name<control::RunState>(checking::meta_of(*db, "run_state", check))) {
    check.state = *state;
    check.is_ended = true;
  }
  checking::check_ticks(*db, check);
  checking::check_snapshots(*db, check);
  return check;
}

}  // namespace leeward::daemon
