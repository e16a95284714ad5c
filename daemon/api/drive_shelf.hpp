#pragma once
/// What is known of the rig's drive, and how the last experiment ended: put there by the service, read by
/// the handlers.

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "daemon/config/found_drive.hpp"

namespace leeward::daemon {

inline constexpr const char* kHowToOfferLearning =
    "write learn_drive = true into [rig] of the rig file and start the daemon again";

/// The last experiment that went its whole course since the daemon started.
struct DriveAttempt {
  std::string run_id;
  bool is_stored = false;
  std::string text;                     ///< what came of it, for a person
  std::vector<std::string> warnings{};  ///< where it is far from what the rig file tells
};

/// Safe to use from any thread.
class DriveShelf {
 public:
  struct Content {
    std::optional<FoundDrive> in_use;
    std::vector<std::string> warnings;  ///< where that is far from what the rig file tells
    std::string refused;                ///< why what is stored is not used; empty: nothing was refused
    std::optional<DriveAttempt> last;
  };

  /// @param is_offered  the rig file lets the drive be learnt
  explicit DriveShelf(bool is_offered) : is_offered_(is_offered) {}
  [[nodiscard]] bool is_offered() const { return is_offered_; }
  void put_stored(FoundDrive drive, std::vector<std::string> warnings);
  void put_refused(std::string why);
  /// From now until settle() readers wait.
  void begin_fit();
  /// @param drive  none: what was stored before stays
  void settle(DriveAttempt attempt, std::optional<FoundDrive> drive);
  /// Waits for a fit that is under way, at most so long.
  [[nodiscard]] Content content(std::chrono::milliseconds at_most) const;

 private:
  const bool is_offered_;
  mutable std::mutex mutex_;
  mutable std::condition_variable settled_;
  Content content_;
  bool is_fitting_ = false;
};

}  // namespace leeward::daemon
