#pragma once
/// What is known of the rig's drive, and how the last experiment ended: put there by the service, read by
/// the handlers.

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <string>

#include "daemon/config/found_drive.hpp"

namespace leeward::daemon {

/// The last experiment that went its whole course since the daemon started.
struct DriveAttempt {
  std::string run_id;
  bool is_stored = false;
  std::string text;  ///< what came of it, for a person
};

/// Safe to use from any thread.
class DriveShelf {
 public:
  struct Content {
    std::optional<FoundDrive> stored;
    std::optional<DriveAttempt> last;
  };

  void put_stored(FoundDrive drive);
  /// From now until settle() readers wait.
  void begin_fit();
  /// @param drive  none: what was stored before stays
  void settle(DriveAttempt attempt, std::optional<FoundDrive> drive);
  /// Waits for a fit that is under way, at most so long.
  [[nodiscard]] Content content(std::chrono::milliseconds at_most) const;

 private:
  mutable std::mutex mutex_;
  mutable std::condition_variable settled_;
  Content content_;
  bool is_fitting_ = false;
};

}  // namespace leeward::daemon
