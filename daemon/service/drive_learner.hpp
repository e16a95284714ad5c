#pragma once
/// Collects what an experiment with the drive shows, and works out the drive from it beside the control
/// thread, which must not wait for that.

#include <condition_variable>
#include <functional>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "control/engine_config.hpp"
#include "control/estimate/drive_fit.hpp"
#include "daemon/api/drive_shelf.hpp"
#include "daemon/api/snapshot.hpp"

namespace leeward::daemon {

struct DriveLearnerHooks {
  std::function<void(const control::DriveFound&)> tell;    ///< the engine, of what was found
  std::function<void(const std::string&, bool)> log_line;  ///< true: a warning
};

/// Whose drive it is and where what is found goes.
struct DriveSubject {
  DriveOwner owner;
  std::string path;             ///< of the file for what is found
  control::RegulatorSpec told;  ///< by the rig file
};

class DriveLearner {
 public:
  DriveLearner(const control::EngineConfig& config, DriveSubject subject, DriveShelf& shelf,
               DriveLearnerHooks hooks);
  ~DriveLearner();
  DriveLearner(const DriveLearner&) = delete;
  DriveLearner& operator=(const DriveLearner&) = delete;

  /// Every tick, on the control thread.
  void take(const SnapshotPtr& snapshot);
  /// Waits for a fit that is under way. At the end of the program, once no tick comes any more.
  void finish();

 private:
  struct Experiment {
    std::vector<control::DriveReading> readings;
    SnapshotPtr end;
  };
  void begin();
  void hand_over(const SnapshotPtr& end);
  void run();
  void work_out(const Experiment& experiment);
  void store(const FoundDrive& drive, DriveAttempt& attempt);
  [[nodiscard]] FoundDrive found_drive(const control::DriveFit& fit, const Snapshot& end) const;

  const control::EngineConfig& config_;
  const DriveSubject subject_;
  DriveShelf& shelf_;
  const DriveLearnerHooks hooks_;
  // the control thread's own
  bool is_collecting_ = false;
  std::int64_t last_ns_ = 0;
  std::vector<control::DriveReading> readings_;

  std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<Experiment> waiting_;
  bool is_finishing_ = false;
  std::thread thread_;
};

}  // namespace leeward::daemon
