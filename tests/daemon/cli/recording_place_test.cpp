#include "daemon/cli/recording_place.hpp"

#include <gtest/gtest.h>
#include <stdlib.h>

#include <fstream>

namespace leeward::daemon {

class FindRecording : public testing::Test {
 protected:
  FindRecording() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-place-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
    std::filesystem::create_directory(folder_ / "runs");
    std::ofstream(folder_ / "runs" / "run-1.leeward") << "x";
  }
  ~FindRecording() override { std::filesystem::remove_all(folder_); }
  std::filesystem::path folder_;
};

TEST_F(FindRecording, LooksInTheFolderAndInItsRuns) {
  EXPECT_EQ(find_recording("run-1", folder_), folder_ / "runs" / "run-1.leeward");
  EXPECT_EQ(find_recording("run-1", folder_ / "runs"), folder_ / "runs" / "run-1.leeward");
}

TEST_F(FindRecording, TakesAFileAsItStands) {
  const std::string file = folder_ / "runs" / "run-1.leeward";

  EXPECT_EQ(find_recording(file, ""), std::filesystem::path(file));
}

TEST_F(FindRecording, SaysWhereItLookedAndWhatToDo) {
  const auto found = find_recording("run-2", folder_);

  ASSERT_FALSE(found.has_value());
  EXPECT_EQ(found.error().exit, exit_data);
  EXPECT_NE(found.error().detail.find(folder_.string() + " and " + (folder_ / "runs").string()),
            std::string::npos);
  EXPECT_NE(found.error().hint.find("--state DIR"), std::string::npos);
}

TEST_F(FindRecording, LeavesNothingBehind) {
  EXPECT_FALSE(find_recording("run-2", folder_ / "other").has_value());

  EXPECT_FALSE(std::filesystem::exists(folder_ / "other"));
}

TEST_F(FindRecording, DoesNotTakeAPathForAnId) {
  EXPECT_FALSE(find_recording("../runs/run-1", folder_ / "runs").has_value());
}

}  // namespace leeward::daemon
