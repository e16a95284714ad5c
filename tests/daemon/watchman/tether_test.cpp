#include "daemon/watchman/tether.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>

#include <array>

namespace leeward::daemon {
namespace {

class TetherTest : public testing::Test {
 protected:
  TetherTest() {
    std::array<int, 2> line{-1, -1};
    EXPECT_EQ(::pipe2(line.data(), O_CLOEXEC), 0);
    near_.reset(line[1]);
    tether_.emplace(page_, 7, UniqueFd(line[0]));
    page_.watchman_beat_ns.store(monotonic_now_ns());
  }
  Lifeline page_;
  UniqueFd near_;
  std::optional<Tether> tether_;
};

TEST_F(TetherTest, TheBeatStandsBeforeTheStageThatAsksForIt) {
  EXPECT_EQ(page_.stage.load(), DaemonStage::starting);
  tether_->begin();
  EXPECT_EQ(page_.stage.load(), DaemonStage::driving);
  EXPECT_GT(page_.daemon_beat_ns.load(), 0);
}

TEST_F(TetherTest, BeatsOnWhileTheWatchmanEchoes) {
  EXPECT_TRUE(tether_->beat());
  EXPECT_FALSE(tether_->is_cut());
  EXPECT_EQ(tether_->watchman_pid(), 7);
}

TEST_F(TetherTest, AClosedLineCutsItForGood) {
  near_.reset();
  EXPECT_FALSE(tether_->beat());
  page_.watchman_beat_ns.store(monotonic_now_ns());
  EXPECT_FALSE(tether_->beat());
  EXPECT_TRUE(tether_->is_cut());
}

TEST_F(TetherTest, AMissingEchoCutsIt) {
  page_.watchman_beat_ns.store(monotonic_now_ns() - std::chrono::nanoseconds(Tether::kEchoLimit).count());
  EXPECT_FALSE(tether_->beat());
}

TEST_F(TetherTest, TellsWhetherTheDeviceTookTheLastOff) {
  tether_->stopping();
  EXPECT_EQ(page_.stage.load(), DaemonStage::stopping);
  tether_->done(false);
  EXPECT_EQ(page_.stage.load(), DaemonStage::let_go);
  tether_->done(true);
  EXPECT_EQ(page_.stage.load(), DaemonStage::at_rest);
}

}  // namespace
}  // namespace leeward::daemon
