// The words around the sign of life that a run may ask for.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/words/sentences.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

std::string presence_event_text(const control::Event& event) {
  return event_text(event, control::EngineConfig{}, control::RunSpec{});
}

TEST(PhaseText, SaysWhyThePressureIsLowAndWhoseWordIsWaitedFor) {
  control::Trace trace;
  trace.phase = control::Phase::stations;
  trace.pressure_good = true;
  trace.induced_pa = 34.2;
  trace.target_pa = 10;
  EXPECT_EQ(phase_text(trace, true, true),
            "No sign of life came: down to 10 Pa below outdoors, now at 34.2 Pa below outdoors, until "
            "somebody says that the run may go on");

  trace.phase = control::Phase::tripped;
  EXPECT_THAT(phase_text(trace, true, true), Not(HasSubstr("sign of life")));
}

TEST(EventText, TellsWhatComesNextWithoutASignOfLife) {
  EXPECT_EQ(
      presence_event_text({control::EventKind::presence_due, 0, 0, 120, 600}),
      "Still here? Without an answer or a tap within 2 min 0 s the pressure goes down to the look-round "
      "level");
  EXPECT_THAT(presence_event_text({control::EventKind::presence_due, 1, 0, 120, 600}),
              HasSubstr("the fan goes off"));
  EXPECT_EQ(
      presence_event_text({control::EventKind::presence_lowered, 0, 0, 600, 10}),
      "No sign of life for 10 min 0 s: the pressure goes down to 10 Pa. After as long again the fan goes "
      "off");
  EXPECT_THAT(presence_event_text({control::EventKind::presence_back, 0, 0, 0, 0}),
              HasSubstr("stays where it is"));
}

TEST(TripText, OfAMissingSignOfLifeSendsForTheCrewFirst) {
  EXPECT_THAT(
      trip_text({.cause = control::TripCause::no_sign_of_life,
                 .mode = control::StopMode::ramp,
                 .seen = 1200,
                 .limit = 1200}),
      StartsWith("Nobody has given a sign of life (1200 s, limit 1200 s). The fan is brought to a stop. "
                 "Look for the crew, first of all"));
}

TEST(RefusalText, OfATapThatNobodyAskedForSaysSo) {
  control::Request request;
  request.kind = control::RequestKind::still_here;

  EXPECT_EQ(refusal_text(control::Refusal::not_running, request, control::EngineConfig{}),
            "No run asks for a sign of life just now.");
}

}  // namespace
}  // namespace leeward::daemon
