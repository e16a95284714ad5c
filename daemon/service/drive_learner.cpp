#include "daemon/service/drive_learner.hpp"

#include <algorithm>
#include <array>

#include "control/estimate/fan_map.hpp"
#include "control/plant_watch.hpp"
#include "daemon/access/private_file.hpp"
#include "daemon/api/status_json.hpp"
#include "daemon/config/found_drive.hpp"
#include "daemon/service/drive_contrast.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {
using control::DriveFit;
using control::DriveFitEnd;
using control::EventKind;

constexpr std::size_t kMostReadings = 20'000;  // an experiment at 50 Hz takes less than half of it
constexpr double kLeastStepS = 1e-3;           // an answer or a stop between two samples shows nothing new

/// The flow of a tight house is too little for a wide restriction to show.
std::string unmoved_text(const DriveFit& fit) {
  return "neither gauge showed enough to learn from, or only one: the building came to " +
         pressure_text(fit.highest_pa) + " and the fan-side signal to " +
         pressure_text(fit.highest_signal_pa) +
         ", and each must come to 1 Pa; where the signal is too low, fit a smaller restriction and name it "
         "as "
         "fitted in the rig file";
}

std::string end_text(const DriveFit& fit) {
  switch (fit.end) {
    case DriveFitEnd::good:
      return "the drive is known";
    case DriveFitEnd::too_few_readings:
      return "too few readings were good";
    case DriveFitEnd::nothing_moved:
      return unmoved_text(fit);
    case DriveFitEnd::no_fit:
      break;
  }
  return "the readings are none that this kind of drive could make";
}

DriveFit fit_of(const control::EngineConfig& config, const std::vector<control::DriveReading>& readings,
                const control::EngineState& state) {
  const auto curve = control::curve_or_guess(config.fans[0]);
  if (!curve) return {};  // cannot be: the engine has made the same curve
  const std::array<control::FanCurve, control::kMaxFans> curves{*curve, *curve, *curve, *curve};
  return control::fit_drive(readings, control::plant_model(config, curves, state),
                            control::fan_map_prior(!config.fans[0].curve.empty()), state.volume_m3);
}
}  // namespace

DriveLearner::DriveLearner(const control::EngineConfig& config, DriveSubject subject, DriveShelf& shelf,
                           DriveLearnerHooks hooks)
    : config_(config), subject_(std::move(subject)), shelf_(shelf), hooks_(std::move(hooks)), thread_([this] {
        run();
      }) {}

DriveLearner::~DriveLearner() { finish(); }

void DriveLearner::begin() {
  is_collecting_ = true;
  readings_.clear();
  readings_.reserve(kMostReadings);
}

void DriveLearner::take(const SnapshotPtr& snapshot) {
  const std::int64_t now_ns = snapshot->state.now_ns;
  const double dt_s = static_cast<double>(now_ns - std::exchange(last_ns_, now_ns)) / 1e9;
  bool is_whole = false;
  for (const control::Event& event : snapshot->events) {
    if (event.kind == EventKind::drive_experiment_begun) begin();
    is_whole = is_whole || (event.kind == EventKind::drive_experiment_ended && event.a == 1);
  }
  if (!is_collecting_) return;
  if (is_whole) return hand_over(snapshot);
  if (snapshot->state.phase != control::Phase::learn_drive) {
    is_collecting_ = false;
    return;
  }
  if (dt_s >= kLeastStepS && readings_.size() < kMostReadings)
    readings_.push_back(control::drive_reading(snapshot->trace, dt_s));
}

void DriveLearner::hand_over(const SnapshotPtr& end) {
  is_collecting_ = false;
  shelf_.begin_fit();
  const std::lock_guard lock(mutex_);
  waiting_.push_back({std::exchange(readings_, {}), end});
  changed_.notify_one();
}

void DriveLearner::run() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return !waiting_.empty() || is_finishing_; });
    if (waiting_.empty()) return;
    const std::vector<Experiment> now = std::exchange(waiting_, {});
    lock.unlock();
    for (const Experiment& experiment : now) work_out(experiment);
    lock.lock();
  }
}

FoundDrive DriveLearner::found_drive(const DriveFit& fit, const Snapshot& end) const {
  const control::FanSpec& fan = config_.fans[0];
  FoundDrive drive;
  drive.owner = subject_.owner;
  drive.restriction =
      std::string(fan.restrictions[static_cast<std::size_t>(end.state.fans[0].fitted)].name.view());
  drive.found_at_utc = utc_text(end.sample.wall_unix_ms);
  drive.run_id = end.run_id;
  drive.quality_frac = fit.quality;
  drive.misfit = fit.misfit;
  drive.highest_pa = fit.highest_pa;
  drive.found = fit.found;
  return drive;
}

void DriveLearner::work_out(const Experiment& experiment) {
  const DriveFit fit = fit_of(config_, experiment.readings, experiment.end->state);
  DriveAttempt attempt{.run_id = experiment.end->run_id, .is_stored = false, .text = end_text(fit)};
  if (fit.end != DriveFitEnd::good || !control::plausible(fit.found)) {
    hooks_.log_line("the experiment with the drive came to nothing: " + attempt.text, true);
    return shelf_.settle(std::move(attempt), std::nullopt);
  }
  hooks_.tell(fit.found);
  FoundDrive drive = found_drive(fit, *experiment.end);
  attempt.warnings = drive_contrasts(subject_.told, drive.found);
  store(drive, attempt);
  for (const std::string& warning : attempt.warnings) hooks_.log_line(warning, true);
  shelf_.settle(std::move(attempt), std::move(drive));
}

void DriveLearner::store(const FoundDrive& drive, DriveAttempt& attempt) {
  const auto written = write_private_file(subject_.path, found_drive_text(drive));
  attempt.is_stored = written.has_value();
  if (!written) {
    attempt.text += " until the daemon ends, but could not be stored: " + written.error().text;
    return hooks_.log_line(subject_.path + ": " + attempt.text, true);
  }
  hooks_.log_line("the drive is known and stored in " + subject_.path + ": " +
                      figure_text(drive.found.slew_s.value, "s") + " to full speed, " +
                      figure_text(drive.found.lag_s.value, "s") + " lag",
                  false);
}

void DriveLearner::finish() {
  {
    const std::lock_guard lock(mutex_);
    is_finishing_ = true;
    changed_.notify_one();
  }
  if (thread_.joinable()) thread_.join();
}

}  // namespace leeward::daemon
