#pragma once
/// SQLite's own file layer, whose writes are also told to a CutDisk: the files on the real disk are what the
/// running program sees, the CutDisk knows what a power cut would leave of them.

#include <sqlite3.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <unordered_map>

#include "tests/daemon/recorder/cut_disk.hpp"

namespace leeward::daemon {

/// Where an open file lies.
struct CutPlace {
  CutDisk* disk = nullptr;
  std::string name;
  const sqlite3_io_methods* real = nullptr;
};

struct CutMethods {
  sqlite3_io_methods ours{};
  const sqlite3_io_methods* real = nullptr;
};

/// While one lives, every connection to a file in a directory that attach() names goes through it; all others
/// as ever. One at a time; the disks may be used by many threads.
class CutVfs {
 public:
  CutVfs() {
    real_ = sqlite3_vfs_find(nullptr);
    vfs_ = *real_;
    vfs_.zName = "cut";
    vfs_.pNext = nullptr;
    vfs_.xOpen = &CutVfs::open;
    vfs_.xDelete = &CutVfs::remove;
    sqlite3_vfs_register(&vfs_, 1);
  }
  ~CutVfs() {
    sqlite3_vfs_unregister(&vfs_);
    sqlite3_vfs_register(real_, 1);
  }
  CutVfs(const CutVfs&) = delete;
  CutVfs& operator=(const CutVfs&) = delete;

  static void attach(const std::filesystem::path& directory, CutDisk& disk) {
    const std::lock_guard lock(mutex_);
    disks_[directory.string()] = &disk;
  }
  static void detach(const std::filesystem::path& directory) {
    const std::lock_guard lock(mutex_);
    disks_.erase(directory.string());
  }

 private:
  static CutPlace place_of_path(const char* path) {
    if (path == nullptr) return {};
    const std::filesystem::path whole(path);
    const std::lock_guard lock(mutex_);
    const auto disk = disks_.find(whole.parent_path().string());
    return disk == disks_.end() ? CutPlace{} : CutPlace{disk->second, whole.filename().string(), nullptr};
  }
  static CutPlace place_of(sqlite3_file* file) {
    const std::lock_guard lock(mutex_);
    return open_files_.at(file);
  }

  static int open(sqlite3_vfs*, const char* path, sqlite3_file* file, int flags, int* out) {
    const int code = real_->xOpen(real_, path, file, flags, out);
    CutPlace place = place_of_path(path);
    if (code != SQLITE_OK || file->pMethods == nullptr || place.disk == nullptr) return code;
    if (!place.disk->has(place.name))
      place.disk->create(place.name, (flags & (SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_WAL)) != 0);
    place.real = file->pMethods;
    file->pMethods = ours_for(file->pMethods);
    const std::lock_guard lock(mutex_);
    open_files_[file] = std::move(place);
    return code;
  }
  static int remove(sqlite3_vfs*, const char* path, int with_directory) {
    const CutPlace place = place_of_path(path);
    if (place.disk != nullptr && place.disk->has(place.name))
      place.disk->remove(place.name, with_directory != 0);
    return real_->xDelete(real_, path, with_directory);
  }

  static int write(sqlite3_file* file, const void* data, int size, sqlite3_int64 at) {
    const CutPlace place = place_of(file);
    const char* bytes = static_cast<const char*>(data);
    place.disk->change(place.name, {static_cast<std::size_t>(at), CutBytes(bytes, bytes + size)});
    return place.real->xWrite(file, data, size, at);
  }
  static int truncate(sqlite3_file* file, sqlite3_int64 size) {
    const CutPlace place = place_of(file);
    place.disk->change(place.name, {static_cast<std::size_t>(size), {}});
    return place.real->xTruncate(file, size);
  }
  /// The real disk need not be waited for: only the CutDisk's content is ever read after a cut.
  static int sync(sqlite3_file* file, int) {
    const CutPlace place = place_of(file);
    place.disk->sync(place.name);
    return SQLITE_OK;
  }
  static int close(sqlite3_file* file) {
    const CutPlace place = place_of(file);
    {
      const std::lock_guard lock(mutex_);
      open_files_.erase(file);
    }
    return place.real->xClose(file);
  }

  static const sqlite3_io_methods* ours_for(const sqlite3_io_methods* real) {
    const std::lock_guard lock(mutex_);
    for (CutMethods& methods : methods_) {
      if (methods.real == real) return &methods.ours;
      if (methods.real != nullptr) continue;
      methods.real = real;
      methods.ours = *real;
      methods.ours.xWrite = &CutVfs::write;
      methods.ours.xTruncate = &CutVfs::truncate;
      methods.ours.xSync = &CutVfs::sync;
      methods.ours.xClose = &CutVfs::close;
      return &methods.ours;
    }
    std::abort();
  }

  sqlite3_vfs vfs_{};
  static inline sqlite3_vfs* real_ = nullptr;
  static inline std::mutex mutex_;
  static inline std::array<CutMethods, 4> methods_{};
  static inline std::unordered_map<std::string, CutDisk*> disks_;
  static inline std::unordered_map<sqlite3_file*, CutPlace> open_files_;
};

}  // namespace leeward::daemon
