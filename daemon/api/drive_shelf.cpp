#include "daemon/api/drive_shelf.hpp"

namespace leeward::daemon {

void DriveShelf::put_stored(FoundDrive drive) {
  const std::lock_guard lock(mutex_);
  content_.stored = std::move(drive);
}

void DriveShelf::begin_fit() {
  const std::lock_guard lock(mutex_);
  is_fitting_ = true;
}

void DriveShelf::settle(DriveAttempt attempt, std::optional<FoundDrive> drive) {
  const std::lock_guard lock(mutex_);
  is_fitting_ = false;
  content_.last = std::move(attempt);
  if (drive) content_.stored = std::move(drive);
  settled_.notify_all();
}

DriveShelf::Content DriveShelf::content(std::chrono::milliseconds at_most) const {
  std::unique_lock lock(mutex_);
  settled_.wait_for(lock, at_most, [this] { return !is_fitting_; });
  return content_;
}

}  // namespace leeward::daemon
