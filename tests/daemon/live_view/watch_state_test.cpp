#include "daemon/live_view/watch_state.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "daemon/live_view/plan_ahead.hpp"
#include "tests/daemon/live_view/watch_fixture.hpp"

namespace leeward::daemon {

TEST(WatchState, LaysASampleOverTheStatus) {
  WatchState state;
  take_status(state, watched_status());

  const bool is_told =
      take_item(state, {"12", "sample", R"({"engine_time_s":101,"induced_pressure_pa":-49,"unrest_pa":2})"});

  EXPECT_FALSE(is_told);
  EXPECT_EQ(state.last_event_id, "12");
  EXPECT_EQ(state.status["unrest_pa"], 2);
  EXPECT_EQ(state.status["run_id"], "run-1");
  EXPECT_EQ(state.course.points().back().middle_pa(), -49);
}

TEST(WatchState, TellsAnEventWithItsTimeInTheRun) {
  WatchState state = watched_run();
  state.run_begin_s = 40;
  state.wants_status = false;

  EXPECT_TRUE(take_item(state, {"13", "station", R"({"engine_time_s":165,"text":"At station 3"})"}));

  EXPECT_EQ(event_line(state, state.events.back()), "+2:05 At station 3");
  EXPECT_TRUE(state.wants_status);
}

TEST(WatchState, TellsAsksOpenedFromAsksAnswered) {
  WatchState state;

  (void)take_item(state, {"1", "ask", R"({"id":"4","state":"open","text":"Cover it.","engine_time_s":1})"});
  EXPECT_EQ(state.events.back().text, "asked: Cover it.");
  EXPECT_TRUE(state.events.back().is_open_ask);
  (void)take_item(
      state,
      {"2", "ask", R"({"id":"4","state":"answered","answer":"done","text":"Cover it.","engine_time_s":2})"});
  EXPECT_EQ(state.events.back().text, "answered done: Cover it.");
}

TEST(WatchState, TakesWhatTheDaemonRecordedWhileItWasNotHeard) {
  WatchState state = watched_run();
  state.course.add(200, -30, 30);

  take_course(state, {{"t0_engine_s", 0.0},
                      {"t_s", {0.0, 110.0, 150.0}},
                      {"induced_min_pa", {-1.0, -50.0, -31.0}},
                      {"induced_max_pa", {-1.0, -49.0, nullptr}},
                      {"target_pa", {nullptr, 50.0, 30.0}}});

  ASSERT_EQ(state.course.points().size(), 3U);  // the one without a reading is none
  EXPECT_EQ(state.course.points()[1].low_pa, -50);
  EXPECT_EQ(state.course.points()[2].at_s, 200);
}

TEST(WatchState, LivesWithAnything) {
  WatchState state;
  for (const char* data : {"", "3", "[]", "null", R"({"engine_time_s":"x"})", R"({"text":4})"})
    for (const char* name : {"sample", "run", "ask", "result", "gap", "phase", ""})
      (void)take_item(state, {"", name, data});
  take_status(state, 3);
  take_course(state, nlohmann::json::array());
  EXPECT_TRUE(state.course.empty());
}

TEST(Course, KeepsGustsHoweverLongItIs) {
  Course course;
  for (int i = 0; i < 100'000; ++i) course.add(i * 0.1, i == 5000 ? -99 : -10, 10);

  EXPECT_LE(course.points().size(), 4000U);
  double lowest = 0;
  for (const CoursePoint& point : course.points()) lowest = std::min(lowest, point.low_pa);
  EXPECT_EQ(lowest, -99);
  EXPECT_EQ(course.points().front().at_s, 0);
}

TEST(Course, BeginsAnewWhenTimeGoesBack) {
  Course course;
  course.add(500, -50, 50);
  course.add(1, -2, 0);
  course.add(2, NAN, 0);

  ASSERT_EQ(course.points().size(), 1U);
  EXPECT_EQ(course.points().front().at_s, 1);
}

TEST(StepsToCome, AreTheStationsLeftAndTheClosingBaselineOverTheTimeLeft) {
  const auto steps = steps_to_come(watched_status(), watched_procedure(), 100);

  ASSERT_EQ(steps.size(), 3U);  // 50 and 30 Pa, then the fan off
  EXPECT_EQ(steps[0].target_pa, -50);
  EXPECT_EQ(steps[1].target_pa, -30);
  EXPECT_EQ(steps[2].target_pa, 0);
  EXPECT_EQ(steps[0].from_s, 100);
  EXPECT_DOUBLE_EQ(steps[2].to_s, 200);
}

TEST(StepsToCome, HasTheOtherDirectionWhole) {
  nlohmann::json status = watched_status();
  status["plan"]["directions"] = {"depressurize", "pressurize"};
  status["plan"]["stations"].push_back(
      {{"direction", "pressurize"}, {"target_pa", 50.0}, {"state", "planned"}});

  const auto steps = steps_to_come(status, watched_procedure(), 0);

  ASSERT_EQ(steps.size(), 7U);  // and its baseline, look-round, station, baseline
  EXPECT_EQ(steps[4].target_pa, 10);
  EXPECT_EQ(steps[5].target_pa, 50);
}

TEST(StepsToCome, IsNothingWithoutARun) {
  nlohmann::json status = watched_status();
  status["run_state"] = "done";

  EXPECT_TRUE(steps_to_come(status, watched_procedure(), 0).empty());
  EXPECT_TRUE(steps_to_come(nlohmann::json::object(), nlohmann::json::object(), 0).empty());
}

}  // namespace leeward::daemon
