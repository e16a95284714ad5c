#include "daemon/service/cover_word.hpp"

#include <gtest/gtest.h>

#include <memory>

namespace leeward::daemon {
namespace {
using control::Answer;
using control::AskKind;
using control::EventKind;
using control::Phase;
}  // namespace

class CoverWordStory : public testing::Test {
 protected:
  void happen(control::Event event) {
    control::Events events;
    events.push_back(event);
    word_.follow(events, asks_, *state_);
  }
  void answer(AskKind kind, Answer answer) {
    asks_.clear();
    asks_.push_back({.id = 7, .kind = kind, .fan = 1});
    happen({EventKind::ask_answered, 7, static_cast<std::int64_t>(answer), 0, 0});
  }
  CoverWord word_;
  OpenAsks asks_;
  std::unique_ptr<control::EngineState> state_ = std::make_unique<control::EngineState>();
};

TEST_F(CoverWordStory, NobodyHasSaidAnythingAtTheStart) {
  for (const bool is_told : word_.is_told()) EXPECT_FALSE(is_told);
}

TEST_F(CoverWordStory, AnAnswerTellsOfItsOwnFanOnly) {
  answer(AskKind::cover_fan, Answer::done);

  EXPECT_FALSE(word_.is_told()[0]);
  EXPECT_TRUE(word_.is_told()[1]);
}

TEST_F(CoverWordStory, AnAnswerThatStopsTellsNothing) {
  answer(AskKind::cover_fan, Answer::done);
  answer(AskKind::uncover_fan, Answer::stop);

  EXPECT_FALSE(word_.is_told()[1]);
}

TEST_F(CoverWordStory, AHoldMeansThatEveryCoverIsOff) {
  happen({EventKind::hold_started, 0, 0, 10, 1});

  for (const bool is_told : word_.is_told()) EXPECT_TRUE(is_told);
}

TEST_F(CoverWordStory, ARunAndABaselineByHandBeginUnknown) {
  happen({EventKind::hold_started, 0, 0, 10, 1});
  happen({EventKind::run_started, 0, 0, 0, 0});
  EXPECT_FALSE(word_.is_told()[0]);

  happen({EventKind::hold_started, 0, 0, 10, 1});
  happen({EventKind::phase_changed, static_cast<std::int64_t>(Phase::baseline), 0, 0, 0});
  EXPECT_FALSE(word_.is_told()[0]);
}

TEST_F(CoverWordStory, TheBaselineOfARunForgetsNothing) {
  answer(AskKind::cover_fan, Answer::done);
  state_->run_state = control::RunState::running;
  happen({EventKind::phase_changed, static_cast<std::int64_t>(Phase::baseline), 0, 0, 0});

  EXPECT_TRUE(word_.is_told()[1]);
}

}  // namespace leeward::daemon
