#pragma once
/// SQLite's own file layer with a switch: the n-th write, truncate or sync fails, or all from it on, or a
/// sync does not return.

#include <sqlite3.h>

#include <array>
#include <atomic>
#include <condition_variable>
#include <cstdlib>
#include <mutex>

namespace leeward::daemon {

/// SQLite's methods of one kind of file (database, log) and ours in front of them.
struct FaultyMethods {
  sqlite3_io_methods ours{};
  const sqlite3_io_methods* real = nullptr;
};

/// While one lives, every connection opened goes through it. One at a time.
class FaultyVfs {
 public:
  FaultyVfs() {
    real_ = sqlite3_vfs_find(nullptr);
    vfs_ = *real_;
    vfs_.zName = "faulty";
    vfs_.pNext = nullptr;
    vfs_.xOpen = &FaultyVfs::open;
    sqlite3_vfs_register(&vfs_, 1);
    writes_ = 0;
    fail_at_ = 0;
    refuse_all_ = false;
    refuse_from_ = 0;
    hold_syncs(false);
  }
  ~FaultyVfs() {
    hold_syncs(false);
    sqlite3_vfs_unregister(&vfs_);
    sqlite3_vfs_register(real_, 1);
  }
  FaultyVfs(const FaultyVfs&) = delete;
  FaultyVfs& operator=(const FaultyVfs&) = delete;

  /// The n-th change from now fails once, with this code. Range   n from 1
  static void fail_once_at(long n, int code) {
    code_ = code;
    writes_ = 0;
    fail_at_ = n;
  }
  /// The n-th change from now and all after it fail. Range   n from 1
  static void refuse_from(long n, int code) {
    code_ = code;
    writes_ = 0;
    refuse_from_ = n;
  }
  static void hold_syncs(bool on) {
    const std::lock_guard lock(mutex_);
    is_held_ = on;
    released_.notify_all();
  }
  static void refuse_all(bool on, int code) {
    code_ = code;
    refuse_all_ = on;
    refuse_from_ = 0;
  }
  static long writes() { return writes_; }

 private:
  static bool fails() {
    const long n = ++writes_;
    return n == fail_at_ || refuse_all_ || (refuse_from_ > 0 && n >= refuse_from_);
  }
  static void wait_while_held() {
    std::unique_lock lock(mutex_);
    released_.wait(lock, [] { return !is_held_; });
  }

  static const sqlite3_io_methods* real_of(const sqlite3_file* file) {
    for (const FaultyMethods& methods : methods_)
      if (file->pMethods == &methods.ours) return methods.real;
    std::abort();
  }

  static FaultyMethods& methods_for(const sqlite3_io_methods* real) {
    for (FaultyMethods& methods : methods_) {
      if (methods.real == real) return methods;
      if (methods.real != nullptr) continue;
      methods.real = real;
      methods.ours = *real;
      methods.ours.xWrite = [](sqlite3_file* f, const void* data, int n, sqlite3_int64 at) {
        return fails() ? code_.load() : real_of(f)->xWrite(f, data, n, at);
      };
      methods.ours.xTruncate = [](sqlite3_file* f, sqlite3_int64 size) {
        return fails() ? code_.load() : real_of(f)->xTruncate(f, size);
      };
      methods.ours.xSync = [](sqlite3_file* f, int how) {
        wait_while_held();
        return fails() ? code_.load() : real_of(f)->xSync(f, how);
      };
      return methods;
    }
    std::abort();
  }

  static int open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out) {
    const int code = real_->xOpen(real_, name, file, flags, out);
    if (code == SQLITE_OK && file->pMethods != nullptr) file->pMethods = &methods_for(file->pMethods).ours;
    return code;
  }

  sqlite3_vfs vfs_{};
  static inline sqlite3_vfs* real_ = nullptr;
  static inline std::array<FaultyMethods, 4> methods_{};
  static inline std::atomic<long> writes_ = 0;
  static inline std::atomic<long> fail_at_ = 0;
  static inline std::atomic<bool> refuse_all_ = false;
  static inline std::atomic<long> refuse_from_ = 0;
  static inline std::mutex mutex_;
  static inline std::condition_variable released_;
  static inline bool is_held_ = false;
  static inline std::atomic<int> code_ = SQLITE_IOERR_WRITE;
};

}  // namespace leeward::daemon
