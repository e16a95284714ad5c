#pragma once
/// One directory on a disk that loses its power: what has been synced is safe, all else only waits, and a cut
/// may leave any part of it behind, in any order.

#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

namespace leeward::daemon {

using CutBytes = std::vector<char>;

/// A write, or where it has no bytes a truncation to `at`.
struct CutChange {
  std::size_t at = 0;
  CutBytes bytes;
  void apply_to(CutBytes& file) const { apply_to(file, 0, bytes.size()); }
  /// Only the bytes from `begin` to `end`.
  void apply_to(CutBytes& file, std::size_t begin, std::size_t end) const {
    if (bytes.empty()) return file.resize(at);
    if (begin == end) return;
    if (file.size() < at + end) file.resize(at + end);
    std::copy(bytes.data() + begin, bytes.data() + end, file.data() + at + begin);
  }
};

struct CutFile {
  CutBytes safe;
  std::vector<CutChange> waiting;
  bool is_journal = false;    ///< its first sync syncs the directory too, as SQLite's unix layer does
  bool is_name_safe = false;  ///< the directory that names it has been synced
  bool is_removed = false;    ///< and the directory has not been synced since
};

class CutDisk {
 public:
  using Files = std::map<std::string, CutFile>;

  void create(const std::string& name, bool is_journal) {
    count();
    const std::lock_guard lock(mutex_);
    CutFile& file = files_[name];
    if (file.is_removed) file = {};
    file.is_journal = is_journal;
  }
  void change(const std::string& name, CutChange change) {
    count();
    const std::lock_guard lock(mutex_);
    files_[name].waiting.push_back(std::move(change));
  }
  void sync(const std::string& name) {
    count();
    const std::lock_guard lock(mutex_);
    if (is_forgetful_) return;
    CutFile& file = files_[name];
    for (const CutChange& change : file.waiting) change.apply_to(file.safe);
    file.waiting.clear();
    if (file.is_journal && !file.is_name_safe) sync_directory();
  }
  void remove(const std::string& name, bool with_directory) {
    count();
    const std::lock_guard lock(mutex_);
    const auto file = files_.find(name);
    if (file == files_.end()) return;
    file->second.is_removed = true;
    if (with_directory) sync_directory();
  }
  [[nodiscard]] bool has(const std::string& name) const {
    const std::lock_guard lock(mutex_);
    const auto file = files_.find(name);
    return file != files_.end() && !file->second.is_removed;
  }

  /// As it stands now, what waits included.
  [[nodiscard]] Files files() const {
    const std::lock_guard lock(mutex_);
    return files_;
  }
  /// Calls `act` before the n-th change from the beginning, on the thread that makes it. Range   n from 1
  void before_change(long n, std::function<void()> act) {
    at_ = n;
    act_ = std::move(act);
  }
  void forget_syncs() { is_forgetful_ = true; }
  [[nodiscard]] long changes() const {
    const std::lock_guard lock(mutex_);
    return changes_;
  }

 private:
  void count() {
    std::unique_lock lock(mutex_);
    const bool is_it = ++changes_ == at_;
    lock.unlock();
    if (is_it && act_) act_();
  }
  void sync_directory() {
    std::erase_if(files_, [](const auto& entry) { return entry.second.is_removed; });
    for (auto& [name, file] : files_) file.is_name_safe = true;
  }

  mutable std::mutex mutex_;
  Files files_;
  long changes_ = 0;
  long at_ = 0;
  bool is_forgetful_ = false;
  std::function<void()> act_;
};

}  // namespace leeward::daemon
