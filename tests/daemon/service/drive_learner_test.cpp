// The learner fed with an experiment of the engine on the simulated house.
#include "daemon/service/drive_learner.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>

#include "tests/engine/closed_loop.hpp"

namespace leeward::daemon {
namespace {
using testing::HasSubstr;

class DriveLearnerTakes : public testing::Test {
 protected:
  DriveLearnerTakes() : loop_(house(), 3, rig(house())) {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-learn-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
    hooks_.tell = [this](const control::DriveFound& found) { told_.push_back(found); };
    hooks_.log_line = [this](const std::string& line, bool) { log_.push_back(line); };
  }
  ~DriveLearnerTakes() override { std::filesystem::remove_all(folder_); }

  static sim::HouseSpec house() { return bench::calm_house(4, 400, 0.65); }
  /// With the restriction at which the flow of this house can be read.
  static control::EngineConfig rig(const sim::HouseSpec& house) {
    control::EngineConfig config = bench::rig_for(house);
    config.fans[0].fitted = 2;
    return config;
  }
  /// An experiment up to its end, or until the demand is on and a stop comes.
  void experiment(const std::string& path, bool is_stopped = false) {
    DriveLearner learner(loop_.engine().config(), {{"rig", "fan", "", "none"}, path, rig_file_}, shelf_,
                         hooks_);
    control::Request request;
    request.kind = control::RequestKind::learn_drive;
    loop_.request(request);
    for (int i = 0; i < 1500; ++i) {
      if (is_stopped && loop_.state().sequencer.experiment.total_s > 20) {
        request.kind = control::RequestKind::stop;
        loop_.request(request);
        is_stopped = false;
      }
      take(learner);
    }
    learner.finish();
  }
  void take(DriveLearner& learner) {
    const control::StepOutput out = loop_.tick();
    auto snapshot = std::make_shared<Snapshot>();
    snapshot->state = loop_.state();
    snapshot->trace = out.trace;
    snapshot->events = out.events;
    snapshot->run_id = "run-1";
    learner.take(snapshot);
  }
  [[nodiscard]] DriveShelf::Content content() const { return shelf_.content(std::chrono::milliseconds(0)); }

  std::filesystem::path folder_;
  sim::ClosedLoop loop_;
  control::RegulatorSpec rig_file_ = loop_.engine().config().regulator;
  DriveShelf shelf_{true};
  DriveLearnerHooks hooks_;
  std::vector<control::DriveFound> told_;
  std::vector<std::string> log_;
};

TEST_F(DriveLearnerTakes, AWholeExperimentIsToldAndStored) {
  const std::string path = folder_ / "drives/one.toml";

  experiment(path);

  ASSERT_EQ(told_.size(), 1U);
  const auto stored = load_found_drive(path);
  ASSERT_TRUE(stored) << to_text(stored.errors);
  EXPECT_EQ(stored.value->found, told_[0]);
  EXPECT_EQ(stored.value->owner, (DriveOwner{"rig", "fan", "", "none"}));
  EXPECT_EQ(stored.value->run_id, "run-1");
  ASSERT_TRUE(content().last);
  EXPECT_TRUE(content().last->is_stored);
  EXPECT_EQ(content().in_use->found, told_[0]);
}

TEST_F(DriveLearnerTakes, AStoppedExperimentLeavesNothing) {
  const std::string path = folder_ / "drives/one.toml";

  experiment(path, true);

  EXPECT_TRUE(told_.empty());
  EXPECT_FALSE(std::filesystem::exists(path));
  EXPECT_FALSE(content().last);
}

TEST_F(DriveLearnerTakes, WithoutAPlaceToStoreItTheEngineIsToldAndThePersonToo) {
  std::ofstream(folder_ / "drives") << "a file where a folder is wanted";

  experiment(folder_ / "drives/one.toml");

  EXPECT_EQ(told_.size(), 1U);
  ASSERT_TRUE(content().last);
  EXPECT_FALSE(content().last->is_stored);
  EXPECT_THAT(content().last->text, HasSubstr("could not be stored"));
}

TEST_F(DriveLearnerTakes, FarFromWhatTheRigFileTellsItWarns) {
  rig_file_.drive_lag_s = 15;

  experiment(folder_ / "drives/one.toml");

  ASSERT_TRUE(content().last);
  ASSERT_EQ(content().last->warnings.size(), 1U);
  EXPECT_THAT(content().last->warnings[0], HasSubstr("drive_lag_s"));
  EXPECT_EQ(content().warnings, content().last->warnings);
}

TEST_F(DriveLearnerTakes, ARestrictionTooWideForTheHouseIsNamedAsTheCause) {
  loop_.plant().set_fitted(0);

  experiment(folder_ / "drives/one.toml");

  EXPECT_TRUE(told_.empty());
  ASSERT_TRUE(content().last);
  EXPECT_FALSE(content().last->is_stored);
  EXPECT_THAT(content().last->text, HasSubstr("fit a smaller restriction"));
}

}  // namespace
}  // namespace leeward::daemon
