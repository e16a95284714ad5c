#pragma once
/// The SQLite C interface behind two owners: a connection and a prepared statement.

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "control/result.hpp"

struct sqlite3;
struct sqlite3_stmt;

namespace leeward::daemon {

/// A prepared statement. Bindings and columns count from 0.
/// Errors   a failed binding is reported by the next step()
class Statement {
 public:
  Statement() = default;
  void bind(int i, double value);  ///< NaN becomes NULL, as SQLite does
  void bind(int i, std::int64_t value);
  void bind(int i, std::string_view value);  ///< copied
  void bind_null(int i);

  /// @returns true while there is a row
  [[nodiscard]] control::Result<bool> step();
  /// Steps to the end and makes the statement ready for new bindings, also after an error.
  [[nodiscard]] control::Result<void> run();
  void reset();

  [[nodiscard]] bool is_null(int i) const;
  [[nodiscard]] double real(int i) const;  ///< NULL reads as the canonical NaN
  [[nodiscard]] std::int64_t integer(int i) const;
  [[nodiscard]] std::string text(int i) const;

 private:
  friend class Database;
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const;
  };
  void note(int code);
  std::unique_ptr<sqlite3_stmt, Finalize> handle_;
  int bind_code_ = 0;
};

/// A connection. One thread at a time.
class Database {
 public:
  enum class Mode { create_new, read_write, read_only };

  /// Errors   io with SQLite's own words; conflict where a file that should be new is there
  [[nodiscard]] static control::Result<Database> open(const std::filesystem::path& path, Mode mode);

  [[nodiscard]] control::Result<void> run(const std::string& sql);
  [[nodiscard]] control::Result<Statement> prepare(const std::string& sql) const;
  /// First column of the first row; 0 where there is none.
  [[nodiscard]] control::Result<std::int64_t> integer_of(const std::string& sql) const;
  [[nodiscard]] bool in_transaction() const;
  /// Whether the last failed call failed for want of space.
  [[nodiscard]] bool disk_full() const;

 private:
  struct Close {
    void operator()(sqlite3* db) const;
  };
  explicit Database(sqlite3* handle) : handle_(handle) {}
  std::unique_ptr<sqlite3, Close> handle_;
};

}  // namespace leeward::daemon
