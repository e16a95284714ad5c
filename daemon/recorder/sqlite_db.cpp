#include "daemon/recorder/sqlite_db.hpp"

#include <sqlite3.h>

#include <limits>

namespace leeward::daemon {

namespace {

using control::Errc;
using control::Error;
using control::Result;

/// The writer never waits for a reader in WAL mode, but whoever opens first after a crash recovers.
constexpr int kBusyWaitMs = 2000;

tl::unexpected<Error> failed(sqlite3* db, const std::string& what) {
  const std::string reason = db != nullptr ? sqlite3_errmsg(db) : "out of memory";
  return tl::unexpected(Error{Errc::io, what, reason});
}

int flags_of(Database::Mode mode) {
  switch (mode) {
    case Database::Mode::create_new:
      return SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    case Database::Mode::read_write:
      return SQLITE_OPEN_READWRITE;
    case Database::Mode::read_only:
      return SQLITE_OPEN_READONLY;
  }
  return SQLITE_OPEN_READONLY;
}

}  // namespace

void Statement::Finalize::operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }

void Statement::note(int code) {
  if (code != SQLITE_OK && bind_code_ == SQLITE_OK) bind_code_ = code;
}

void Statement::bind(int i, double value) { note(sqlite3_bind_double(handle_.get(), i + 1, value)); }

void Statement::bind(int i, std::int64_t value) { note(sqlite3_bind_int64(handle_.get(), i + 1, value)); }

void Statement::bind(int i, std::string_view value) {
  note(sqlite3_bind_text64(handle_.get(), i + 1, value.data(), value.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
}

void Statement::bind_null(int i) { note(sqlite3_bind_null(handle_.get(), i + 1)); }

Result<bool> Statement::step() {
  if (bind_code_ != SQLITE_OK) return tl::unexpected(Error{Errc::io, "bind", sqlite3_errstr(bind_code_)});
  const int code = sqlite3_step(handle_.get());
  if (code == SQLITE_ROW) return true;
  if (code == SQLITE_DONE) return false;
  return failed(sqlite3_db_handle(handle_.get()), sqlite3_sql(handle_.get()));
}

Result<void> Statement::run() {
  Result<bool> stepped = step();
  while (stepped && *stepped) stepped = step();
  reset();
  if (!stepped) return tl::unexpected(stepped.error());
  return {};
}

void Statement::reset() {
  sqlite3_reset(handle_.get());
  bind_code_ = SQLITE_OK;
}

bool Statement::is_null(int i) const { return sqlite3_column_type(handle_.get(), i) == SQLITE_NULL; }

double Statement::real(int i) const {
  return is_null(i) ? std::numeric_limits<double>::quiet_NaN() : sqlite3_column_double(handle_.get(), i);
}

std::int64_t Statement::integer(int i) const { return sqlite3_column_int64(handle_.get(), i); }

std::string Statement::text(int i) const {
  const auto* bytes = reinterpret_cast<const char*>(sqlite3_column_text(handle_.get(), i));
  if (bytes == nullptr) return {};
  return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(handle_.get(), i))};
}

void Database::Close::operator()(sqlite3* db) const { sqlite3_close_v2(db); }

Result<Database> Database::open(const std::filesystem::path& path, Mode mode) {
  std::error_code ignored;
  if (mode == Mode::create_new && std::filesystem::exists(path, ignored))
    return tl::unexpected(Error{Errc::conflict, path.string(), "the file is there already"});
  sqlite3* handle = nullptr;
  // One thread at a time uses a connection, so it needs no lock of its own.
  const int code = sqlite3_open_v2(path.c_str(), &handle, flags_of(mode) | SQLITE_OPEN_NOMUTEX, nullptr);
  Database db(handle);
  if (code != SQLITE_OK) return failed(handle, path.string());
  sqlite3_extended_result_codes(handle, 1);
  sqlite3_busy_timeout(handle, kBusyWaitMs);
  return db;
}

Result<void> Database::run(const std::string& sql) {
  if (sqlite3_exec(handle_.get(), sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK)
    return failed(handle_.get(), sql);
  return {};
}

Result<Statement> Database::prepare(const std::string& sql) const {
  sqlite3_stmt* raw = nullptr;
  const int code =
      sqlite3_prepare_v2(handle_.get(), sql.c_str(), static_cast<int>(sql.size()), &raw, nullptr);
  Statement statement;
  statement.handle_.reset(raw);
  if (code != SQLITE_OK) return failed(handle_.get(), sql);
  return statement;
}

Result<std::int64_t> Database::integer_of(const std::string& sql) const {
  auto statement = prepare(sql);
  if (!statement) return tl::unexpected(statement.error());
  const auto row = statement->step();
  if (!row) return tl::unexpected(row.error());
  return *row ? statement->integer(0) : 0;
}

bool Database::in_transaction() const { return sqlite3_get_autocommit(handle_.get()) == 0; }

bool Database::disk_full() const { return (sqlite3_errcode(handle_.get()) & 0xff) == SQLITE_FULL; }

}  // namespace leeward::daemon
