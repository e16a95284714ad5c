#include "daemon/words/sentences.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <memory>

#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;
using testing::Not;

control::EngineConfig sentences_config() {
  control::EngineConfig config;
  control::FanSpec fan;
  fan.restrictions.push_back({"bore-500", 0.204, 0.5, 5, 160, 0.1, 0.02});
  fan.restrictions.push_back({"bore-165", 0.022, 0.5, 5, 400, 0.1, 0.02});
  config.fans.push_back(fan);
  return config;
}

control::RunSpec sentences_run() {
  control::RunSpec run;
  run.procedure.id = "steady";
  run.procedure.checklist.push_back("Windows and outer doors are shut.");
  run.procedure.checklist.push_back("Drain traps hold water.");
  run.procedure.restore.push_back("Seals are taken out.");
  return run;
}

TEST(AskText, NamesTheRestrictionAndSaysThatTheFanIsOff) {
  const control::Ask ask{.id = 4, .kind = control::AskKind::fit_restriction, .restriction = 1};

  EXPECT_EQ(
      ask_text(ask, sentences_run(), sentences_config()),
      "Fit bore-165 into fan 1, then answer done. The fan is off. Answer keep to go on with the one that is "
      "fitted.");
}

TEST(AskText, SaysHowSurelyTheRestrictionServesTheStationsToCome) {
  control::Ask ask{.kind = control::AskKind::fit_restriction, .restriction = 1};
  ask.promise = {.known = true,
                 .blind = false,
                 .stations_to_come = 8,
                 .stations_meant = 8,
                 .serves_p = 0.961,
                 .fitted_p = 0.12,
                 .stations_unserved = 0};

  EXPECT_EQ(
      ask_text(ask, sentences_run(), sentences_config()),
      "Fit bore-165 into fan 1, then answer done. The fan is off. It serves all 8 stations to come with a "
      "probability of 96 %, the one that is fitted with 12 %. Answer keep to go on with the one that is "
      "fitted.");

  ask.promise.stations_meant = 5;
  ask.promise.stations_unserved = 2;
  EXPECT_THAT(ask_text(ask, sentences_run(), sentences_config()), HasSubstr("It serves 5 of the 8 stations"));
  EXPECT_THAT(ask_text(ask, sentences_run(), sentences_config()),
              HasSubstr("No restriction serves 2 of the stations to come"));

  ask.promise.blind = true;
  EXPECT_THAT(ask_text(ask, sentences_run(), sentences_config()), HasSubstr("has not been measured yet"));
}

TEST(AskText, GivesTheChecklistItemAndItsPlace) {
  const control::Ask ask{.kind = control::AskKind::checklist, .item = 1};
  const control::Ask restore{.kind = control::AskKind::checklist, .restore = true};

  EXPECT_EQ(ask_text(ask, sentences_run(), sentences_config()), "Checklist 2 of 2: Drain traps hold water.");
  EXPECT_EQ(ask_text(restore, sentences_run(), sentences_config()), "Restore 1 of 1: Seals are taken out.");
}

TEST(AskText, OutlivesIndicesBeyondTheLists) {
  const control::Ask item{.kind = control::AskKind::checklist, .item = 99};
  const control::Ask fit{.kind = control::AskKind::fit_restriction, .fan = 3, .restriction = 7};

  EXPECT_EQ(ask_text(item, sentences_run(), sentences_config()), "Checklist 100 of 2");
  EXPECT_THAT(ask_text(fit, sentences_run(), sentences_config()), HasSubstr("restriction 8"));
}

TEST(AskText, OfTurningTheFanSaysWhichWayTheAirGoes) {
  control::Ask ask{.kind = control::AskKind::turn_fan, .direction = control::Direction::pressurize};
  EXPECT_THAT(ask_text(ask, sentences_run(), sentences_config()), HasSubstr("blows air into"));
  ask.direction = control::Direction::depressurize;
  EXPECT_THAT(ask_text(ask, sentences_run(), sentences_config()), HasSubstr("blows air out of"));
}

TEST(AnswersOf, AlwaysBeginWithDone) {
  for (std::size_t i = 0; i < EnumNames<control::AskKind>::kNames.size(); ++i)
    EXPECT_EQ(answers_of(static_cast<control::AskKind>(i)).front(), "done");
  EXPECT_THAT(answers_of(control::AskKind::look_round), testing::ElementsAre("done", "stop"));
  EXPECT_THAT(answers_of(control::AskKind::checklist), testing::ElementsAre("done", "not_applicable"));
}

TEST(TripText, NamesCauseFiguresAndWhatToLookFor) {
  const control::Trip trip{.cause = control::TripCause::over_pressure, .seen = 104.2, .limit = 80};

  const std::string text = trip_text(trip);

  EXPECT_THAT(text, HasSubstr("above the limit (104 Pa, limit 80.0 Pa)"));
  EXPECT_THAT(text, HasSubstr("Look for damage"));
  EXPECT_THAT(text, HasSubstr("local safety rules come first"));
}

TEST(TripText, OfEveryCauseIsOneLineThatSaysWhatToLookFor) {
  for (std::size_t i = 1; i < EnumNames<control::TripCause>::kNames.size(); ++i) {
    const std::string text = trip_text({.cause = static_cast<control::TripCause>(i), .seen = 1, .limit = 2});
    EXPECT_THAT(text, HasSubstr("Look for ")) << i;
    EXPECT_THAT(text, Not(HasSubstr("\n"))) << i;
  }
  EXPECT_EQ(trip_text({}), "");
}

TEST(TripText, OfAFanThatGoesOnTurningTellsToCutItsPower) {
  EXPECT_THAT(trip_text({.cause = control::TripCause::fan_ignores_stop}), HasSubstr("Cut its power now"));
}

TEST(RefusalText, OfEveryReasonSaysSomethingForEveryKind) {
  const auto request = std::make_unique<control::Request>();
  for (std::size_t kind = 0; kind < EnumNames<control::RequestKind>::kNames.size(); ++kind) {
    request->kind = static_cast<control::RequestKind>(kind);
    for (std::size_t i = 1; i < EnumNames<control::Refusal>::kNames.size(); ++i)
      EXPECT_GT(refusal_text(static_cast<control::Refusal>(i), *request, sentences_config()).size(), 20U);
  }
  EXPECT_EQ(refusal_text(control::Refusal::accepted, *request, sentences_config()), "");
}

TEST(RefusalText, NamesTheLimitAndWhatToDo) {
  control::Request request;
  request.kind = control::RequestKind::hold;
  request.target_pa = 120;

  EXPECT_EQ(refusal_text(control::Refusal::above_ceiling, request, sentences_config()),
            "A target of 120 Pa is above the limit of 80 Pa. Ask for less.");
}

TEST(RefusalText, OfAnUnattendedRunSaysThatTheRigHasNoStop) {
  control::Request request;
  request.kind = control::RequestKind::start_run;

  EXPECT_THAT(refusal_text(control::Refusal::unattended_refused, request, sentences_config()),
              HasSubstr("rig.silence_stop is none"));
}

TEST(EventText, OfSummedGapsSaysInWhatTime) {
  const control::RunSpec run = sentences_run();

  EXPECT_EQ(event_text({control::EventKind::sample_gap, 37, 0, 5, 0}, sentences_config(), run),
            "Sample periods skipped: 37 in 5 s");
  EXPECT_EQ(event_text({control::EventKind::sample_gap, 1, 0, 0, 0}, sentences_config(), run),
            "Sample periods skipped: 1");
}

TEST(PhaseText, SaysThatARunIsPausedOnlyWhereItsFanHolds) {
  control::Trace trace;
  trace.phase = control::Phase::stations;
  trace.pressure_good = true;
  trace.induced_pa = 30;
  trace.target_pa = 40;
  EXPECT_EQ(phase_text(trace, true),
            "Paused, holding 30.0 Pa below outdoors until it is continued or stopped");

  trace.phase = control::Phase::tripped;
  EXPECT_THAT(phase_text(trace, true), Not(HasSubstr("Paused")));
}

TEST(PhaseText, SaysWhatIsHeldAndOnWhichSide) {
  control::Trace trace;
  trace.phase = control::Phase::hold;
  trace.pressure_good = true;
  trace.induced_pa = 50.2;
  EXPECT_EQ(phase_text(trace, false), "Holding 50.2 Pa below outdoors");

  trace.direction = control::Direction::pressurize;
  trace.phase_left_s = 40;
  EXPECT_EQ(phase_text(trace, false), "Holding 50.2 Pa above outdoors, 40 s to go");
}

TEST(PhaseText, DoesNotInventAPressureThatWasNotRead) {
  control::Trace trace;
  trace.phase = control::Phase::stations;
  trace.target_pa = 40;

  EXPECT_EQ(phase_text(trace, false), "Measuring at an unknown pressure, station 40 Pa");
}

TEST(PhaseText, WarnsWhileTheCountdownRuns) {
  control::Trace trace;
  trace.phase = control::Phase::look_round;
  trace.countdown_s = 4.2;

  EXPECT_EQ(phase_text(trace, false), "The fan starts in 4 s; any stop ends it");
}

control::CheckSpec sentences_check() {
  control::CheckSpec check;
  check.kind = control::CheckKind::exponent_range;
  check.has_low = check.has_high = true;
  check.low = 0.5;
  check.high = 1.0;
  check.clause = "clause 6.2";
  return check;
}

TEST(VerdictText, GivesFigureLimitClauseAndMark) {
  const control::Verdict verdict{0, 0, control::CheckOutcome::failed, 1.04, 1.0};

  EXPECT_EQ(verdict_text(sentences_check(), verdict),
            "Flow exponent n: 1.040, at most 1.000: failed (clause 6.2; limit not checked against the "
            "standard's text)");
}

TEST(VerdictText, TellsALowerLimitFromAnUpperOne) {
  const control::Verdict verdict{0, 0, control::CheckOutcome::failed, 0.45, 0.5};

  EXPECT_THAT(verdict_text(sentences_check(), verdict), HasSubstr("0.450, at least 0.500"));
}

TEST(VerdictText, NamesTheSourceThatWasRead) {
  control::CheckSpec check = sentences_check();
  check.mark = control::Mark::source;
  check.source = "an example text";

  EXPECT_THAT(verdict_text(check, {}), HasSubstr("not applicable"));
  EXPECT_THAT(verdict_text(check, {}), HasSubstr("limit read in an example text"));
}

TEST(VerdictText, GivesItsPartsForTheColumnsOfATable) {
  const control::Verdict failed{0, 0, control::CheckOutcome::failed, 0.45, 0.5};

  EXPECT_EQ(seen_text(sentences_check(), failed), "0.450");
  EXPECT_EQ(limit_text(sentences_check(), failed), "at least 0.500");
  EXPECT_EQ(seen_text(sentences_check(), {}), "");
  EXPECT_EQ(limit_text(sentences_check(), {}), "");
}

TEST(VerdictText, OfBothDirectionsHasNoLimit) {
  control::CheckSpec check;
  check.kind = control::CheckKind::both_directions;
  const control::Verdict failed{0, -1, control::CheckOutcome::failed, 1, 2};

  EXPECT_EQ(limit_text(check, failed), "");
  EXPECT_THAT(verdict_text(check, failed), HasSubstr("Both directions measured: no, only one ("));
}

TEST(CheckLabel, OfEveryKindFitsIntoItsColumn) {
  for (std::size_t i = 0; i < EnumNames<control::CheckKind>::kNames.size(); ++i) {
    const std::string_view label = check_label(static_cast<control::CheckKind>(i));
    EXPECT_GT(label.size(), 5U) << i;
    EXPECT_LE(label.size(), 28U) << label;
  }
}

TEST(FitText, SaysInOneLineHowOurEstimateAndTheProceduresFitDiffer) {
  control::ProcedureSpec procedure;
  EXPECT_EQ(own_fit_text(false),
            "Stations weighted by their uncertainty; corrected for density and viscosity.");
  EXPECT_EQ(standard_fit_text(procedure),
            "All stations count alike; corrected for density, not for viscosity.");

  procedure.viscosity_correction = true;
  procedure.fit = control::FitMethod::fixed_exponent;
  EXPECT_EQ(standard_fit_text(procedure),
            "Exponent fixed by the procedure; corrected for density and viscosity.");
  EXPECT_THAT(own_fit_text(true), HasSubstr("Exponent assumed"));
}

TEST(FitText, NamesAReferenceAirThatIsNotTheUsualOne) {
  control::ProcedureSpec procedure;
  procedure.reference_temperature_c = 15;

  EXPECT_THAT(standard_fit_text(procedure), HasSubstr("to air of 15.0 degrees C and 101325 Pa"));
}

TEST(EventText, OfEveryKindIsOneLine) {
  for (std::size_t i = 0; i < EnumNames<control::EventKind>::kNames.size(); ++i) {
    const control::Event event{static_cast<control::EventKind>(i), 1, 1, 2, 3};
    const std::string text = event_text(event, sentences_config(), sentences_run());
    EXPECT_GT(text.size(), 5U) << i;
    EXPECT_THAT(text, Not(HasSubstr("\n"))) << i;
    EXPECT_THAT(text, Not(HasSubstr("does not know"))) << i;
  }
}

TEST(EventText, OutlivesNumbersThatAreNoEnumerators) {
  for (std::size_t i = 0; i < EnumNames<control::EventKind>::kNames.size(); ++i) {
    const control::Event event{static_cast<control::EventKind>(i), -7, 1000, 0, 0};
    EXPECT_FALSE(event_text(event, sentences_config(), sentences_run()).empty());
  }
}

}  // namespace
}  // namespace leeward::daemon
