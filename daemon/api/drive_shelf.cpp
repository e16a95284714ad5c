#include "daemon/api/drive_shelf.hpp"

namespace leeward::daemon {

void DriveShelf::put_stored(FoundDrive drive, std::vector<std::string> warnings) {
  const std::lock_guard lock(mutex_);
  content_.in_use = std::move(drive);
  content_.warnings = std::move(warnings);
}

void DriveShelf::put_refused(std::string why) {
  const std::lock_guard lock(mutex_);
  content_.refused = std::move(why);
}

void DriveShelf::begin_fit() {
  const std::lock_guard lock(mutex_);
  is_fitting_ = true;
}

void DriveShelf::settle(DriveAttempt attempt, std::optional<FoundDrive> drive) {
  const std::lock_guard lock(mutex_);
  is_fitting_ = false;
  if (drive) {
    content_.in_use = std::move(drive);
    content_.warnings = attempt.warnings;
    content_.refused.clear();
  }
  content_.last = std::move(attempt);
  settled_.notify_all();
}

DriveShelf::Content DriveShelf::content(std::chrono::milliseconds at_most) const {
  std::unique_lock lock(mutex_);
  settled_.wait_for(lock, at_most, [this] { return !is_fitting_; });
  return content_;
}

}  // namespace leeward::daemon
