#include "daemon/recorder/tick_reader.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "daemon/recorder/columns.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {

namespace {

using control::Errc;
using control::Error;
using control::Result;

tl::unexpected<Error> damaged_tick(const std::string& field, const std::string& text) {
  return tl::unexpected(Error{Errc::io, field, text});
}

/// Our number for a number in the file; nullopt for a name that this version does not know.
std::optional<std::int64_t> mapped(const std::vector<std::int64_t>& map, std::int64_t number) {
  if (number < 0 || static_cast<std::size_t>(number) >= map.size()) return std::nullopt;
  const std::int64_t ours = map[static_cast<std::size_t>(number)];
  return ours < 0 ? std::nullopt : std::optional(ours);
}

/// The tick of this seq in an ascending list; nullptr where it is not there.
RecordedTick* tick_of(std::vector<RecordedTick>& ticks, std::int64_t seq) {
  const auto wanted = static_cast<std::uint64_t>(seq);
  const auto it = std::lower_bound(ticks.begin(), ticks.end(), wanted,
                                   [](const RecordedTick& tick, std::uint64_t s) { return tick.seq < s; });
  return it != ticks.end() && it->seq == wanted ? &*it : nullptr;
}

Result<Statement> select_range(const Database& db, const std::string& columns, const std::string& table,
                               const std::vector<RecordedTick>& ticks) {
  auto select =
      db.prepare("SELECT " + columns + " FROM " + table + " WHERE seq BETWEEN ? AND ? ORDER BY seq, idx");
  if (!select) return select;
  select->bind(0, static_cast<std::int64_t>(ticks.front().seq));
  select->bind(1, static_cast<std::int64_t>(ticks.back().seq));
  return select;
}

/// Calls visit(statement, tick) for every row that belongs to one of the ticks.
template <class F>
Result<void> for_each_row(Result<Statement> select, std::vector<RecordedTick>& ticks, F visit) {
  if (!select) return tl::unexpected(select.error());
  for (;;) {
    const auto row = select->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row) return {};
    RecordedTick* tick = tick_of(ticks, select->integer(0));
    if (tick == nullptr) continue;
    if (auto done = visit(*select, *tick); !done) return done;
  }
}

Result<std::vector<std::int64_t>> enum_map(const Database& db, std::string_view column,
                                           std::span<const std::string_view> names) {
  std::vector<std::int64_t> map;
  if (names.empty()) return map;
  auto select = db.prepare("SELECT number, name FROM enums WHERE column_name = ? ORDER BY number");
  if (!select) return tl::unexpected(select.error());
  select->bind(0, column);
  for (auto row = select->step();; row = select->step()) {
    if (!row) return tl::unexpected(row.error());
    if (!*row) return map;
    if (select->integer(0) != static_cast<std::int64_t>(map.size()))
      return damaged_tick("enums", "has a hole");
    const auto it = std::find(names.begin(), names.end(), select->text(1));
    map.push_back(it == names.end() ? -1 : it - names.begin());
  }
}

Result<std::set<std::string>> columns_there(const Database& db) {
  std::set<std::string> there;
  auto names = db.prepare("SELECT name FROM columns");
  if (!names) return tl::unexpected(names.error());
  for (auto row = names->step();; row = names->step()) {
    if (!row) return tl::unexpected(row.error());
    if (!*row) return there;
    there.insert(names->text(0));
  }
}

}  // namespace

/// Reads one field after the other from a row of ticks.
class TickReader::FieldReader {
 public:
  FieldReader(const Statement& row, const std::vector<ColumnSource>& sources)
      : row_(row), sources_(sources) {}
  template <class T>
  void operator()(T& field) {
    const ColumnSource& source = sources_[next_++];
    if (source.index < 0) return;
    if constexpr (std::floating_point<T>) {
      field = row_.real(source.index);
    } else if constexpr (std::is_enum_v<T>) {
      const auto ours = mapped(source.enum_map, row_.integer(source.index));
      known_ = known_ && ours.has_value();
      if (ours) field = static_cast<T>(*ours);
    } else {
      field = static_cast<T>(row_.integer(source.index));
    }
  }
  /// Whether every enum had a name that this version knows.
  [[nodiscard]] bool known() const { return known_; }

 private:
  const Statement& row_;
  const std::vector<ColumnSource>& sources_;
  std::size_t next_ = 0;
  bool known_ = true;
};

Result<TickReader> TickReader::make(const Database& db, std::size_t fans) {
  TickReader reader;
  reader.fans_ = fans;
  const auto there = columns_there(db);
  if (!there) return tl::unexpected(there.error());
  reader.select_ = "SELECT seq";
  int next = 1;
  for (const Column& column : tick_columns(fans)) {
    ColumnSource source;
    if (there->contains(column.name)) {
      source.index = next++;
      reader.select_ += "," + column.name;
      auto map = enum_map(db, column.name, column.enum_names);
      if (!map) return tl::unexpected(map.error());
      source.enum_map = std::move(*map);
    } else {
      reader.missing_columns_.push_back(column.name);
    }
    reader.sources_.push_back(std::move(source));
  }
  reader.select_ += " FROM ticks WHERE seq > ? ORDER BY seq LIMIT ?";
  auto kinds = enum_map(db, "events.kind", EnumNames<control::EventKind>::kNames);
  auto refusals = enum_map(db, "refusals.refusal", EnumNames<control::Refusal>::kNames);
  if (!kinds || !refusals) return damaged_tick("enums", "cannot be read");
  reader.event_kinds_ = std::move(*kinds);
  reader.refusals_ = std::move(*refusals);
  return reader;
}

Result<std::vector<RecordedTick>> TickReader::read(const Database& db, std::optional<std::uint64_t> after,
                                                   std::size_t limit) const {
  std::vector<RecordedTick> ticks;
  if (auto done = read_rows(db, after, limit, ticks); !done) return tl::unexpected(done.error());
  if (ticks.empty()) return ticks;
  // A tick and what belongs to it were committed together, so reading them one after the other is safe.
  if (auto done = read_requests(db, ticks); !done) return tl::unexpected(done.error());
  if (auto done = read_events(db, ticks); !done) return tl::unexpected(done.error());
  if (auto done = read_refusals(db, ticks); !done) return tl::unexpected(done.error());
  return ticks;
}

Result<void> TickReader::read_rows(const Database& db, std::optional<std::uint64_t> after, std::size_t limit,
                                   std::vector<RecordedTick>& out) const {
  auto select = db.prepare(select_);
  if (!select) return tl::unexpected(select.error());
  select->bind(0, after ? static_cast<std::int64_t>(*after) : std::int64_t{-1});
  select->bind(1, static_cast<std::int64_t>(limit));
  for (auto row = select->step();; row = select->step()) {
    if (!row) return tl::unexpected(row.error());
    if (!*row) return {};
    RecordedTick& tick = out.emplace_back();
    tick.seq = static_cast<std::uint64_t>(select->integer(0));
    FieldReader reader(*select, sources_);
    for_each_field(tick.sample, fans_, reader);
    for_each_field(tick.output.command, fans_, reader);
    for_each_field(tick.output.trace, fans_, reader);
    if (!reader.known()) return damaged_tick("ticks", "holds a word that this version does not know");
  }
}

Result<void> TickReader::read_requests(const Database& db, std::vector<RecordedTick>& out) const {
  return for_each_row(select_range(db, "seq, json", "requests", out), out,
                      [](const Statement& row, RecordedTick& tick) {
                        return from_json_text(row.text(1), "requests.json", tick.requests.emplace_back());
                      });
}

Result<void> TickReader::read_events(const Database& db, std::vector<RecordedTick>& out) const {
  return for_each_row(select_range(db, "seq, kind, a, b, x, y", "events", out), out,
                      [this](const Statement& row, RecordedTick& tick) -> Result<void> {
                        const auto kind = mapped(event_kinds_, row.integer(1));
                        if (!kind)
                          return damaged_tick("events.kind", "is a word that this version does not know");
                        const bool room = tick.output.events.push_back(
                            {static_cast<control::EventKind>(*kind), row.integer(2), row.integer(3),
                             row.real(4), row.real(5)});
                        if (!room)
                          return damaged_tick("events", "has more events in a tick than there can be");
                        return {};
                      });
}

Result<void> TickReader::read_refusals(const Database& db, std::vector<RecordedTick>& out) const {
  return for_each_row(select_range(db, "seq, refusal", "refusals", out), out,
                      [this](const Statement& row, RecordedTick& tick) -> Result<void> {
                        const auto refusal = mapped(refusals_, row.integer(1));
                        if (!refusal)
                          return damaged_tick("refusals", "holds a word that this version does not know");
                        if (!tick.output.refusals.push_back(static_cast<control::Refusal>(*refusal)))
                          return damaged_tick("refusals", "has more in a tick than there can be");
                        return {};
                      });
}

}  // namespace leeward::daemon
