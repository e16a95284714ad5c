#include "daemon/document/report_document.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/words/finding_text.hpp"
#include "tests/daemon/document/example_report.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;
using testing::Not;

std::string text_before(const std::string& text, const std::string& end) {
  return text.substr(0, text.find(end));
}

TEST(ReportDocument, HoldsWhatACodeOfficialAsksFor) {
  ReportOptions options;
  options.particulars = {"Before occupancy", "12 Example Lane", "2026-0815", "Dryer vent, tape",
                         "A. Person",        "Invented Ltd",    "X-123"};

  const std::string text = example::report_text(example::report_data(), options);

  for (const char* fact : {"Demo house, invented",
                           "400 m³",
                           "Before occupancy",
                           "12 Example Lane",
                           "2026-0815",
                           "Dryer vent, tape",
                           "A. Person",
                           "Invented Ltd",
                           "X-123",
                           "Example procedure, invented",
                           "Invented standard 7:2031",
                           "Depressurization",
                           "1. Windows closed.",
                           "2. Kitchen hood sealed with tape.",
                           "not applicable",
                           "Afterwards all 1 items",
                           "bore-500",
                           "bore-290",
                           "5 to 160",
                           "serial, calibration not stated",
                           "3.0 m/s",
                           "2026-11-25 14:07 UTC",
                           "Leeward 0.1.0",
                           "run-20261125-140733",
                           "clause 5.3",
                           "Signature",
                           "Licence no.",
                           "Local codes and licensed practice come before"})
    EXPECT_THAT(text, HasSubstr(fact));
  EXPECT_THAT(text, HasSubstr("SHA-256: " + std::string(64, 'a')));
}

TEST(ReportDocument, StatesHowWellThePressureGaugeKeepsItsScale) {
  ReportData data = example::report_data();
  EXPECT_EQ(example::report_text(data).find("of its reading"), std::string::npos);

  data.meta.engine.building_gauge_accuracy_frac = 0.005;

  EXPECT_THAT(example::report_text(data), HasSubstr("; within 0.50 % of its reading"));
}

TEST(ReportDocument, NeverPassesAnAssumptionOffAsMeasured) {
  ReportData data = example::report_data();
  data.record.conditions.has_wind = false;
  const std::string assumed = example::report_text(data);

  EXPECT_THAT(assumed, HasSubstr("Humidity: not stated (50 % assumed)"));
  EXPECT_THAT(assumed, HasSubstr("Barometer: not stated (sea level assumed)"));
  EXPECT_THAT(assumed, HasSubstr("Wind: not stated"));

  control::ConditionsSpec& c = data.record.conditions;
  c.has_indoor_rh = c.has_outdoor_rh = c.has_altitude = true;
  c.indoor_rh_frac = 0.4;
  c.altitude_m = 250;
  const std::string stated = example::report_text(data);

  EXPECT_THAT(stated, HasSubstr("Humidity: indoors 40 %, outdoors 50 %"));
  EXPECT_THAT(stated, HasSubstr("from altitude 250 m"));
  EXPECT_THAT(stated, Not(HasSubstr("assumed")));
}

TEST(ReportDocument, StatesEveryFigureWithUnitAndInterval) {
  const std::string text = example::report_text(example::report_data());

  // q50 = 0.026 * 50^0.65 m3/s, 3 % either way: 1190 m3/h, 1154 to 1226.
  for (const char* row : {"q50 | 1190 m³/h | 1154 to 1226 m³/h", "n50 | 2.98 1/h | 2.89 to 3.06 1/h",
                          "C | 93.6 m³/(h·Paⁿ) | 89.9 to 97.3", "n | 0.650 | 0.637 to 0.663",
                          "ELA4 | 250 cm² | 238 to 262 cm²"})
    EXPECT_THAT(text, HasSubstr(row));
}

TEST(ReportDocument, ShowsCustomaryUnitsWhenAskedTo) {
  ReportOptions options;
  options.units = UnitSystem::ip;

  const std::string text = example::report_text(example::report_data(), options);

  EXPECT_THAT(text, HasSubstr("q50 | 701 cfm"));  // 1190.3 m3/h / 1.69901
  EXPECT_THAT(text, HasSubstr("14126 ft³"));      // 400 m3 * 35.3147
  EXPECT_THAT(text, HasSubstr("68.0 °F"));        // 20 °C
  EXPECT_THAT(text, Not(HasSubstr("m³")));
}

TEST(ReportDocument, SaysThatARunIsNotValidInsteadOfAResult) {
  ReportData data = example::report_data();
  data.state = control::RunState::invalid;
  data.result.valid = false;
  data.result.verdicts[0].outcome = control::CheckOutcome::failed;

  const std::string text = example::report_text(data);
  const std::string front = text_before(text, "Zero-flow pressures");

  EXPECT_THAT(front, HasSubstr("NOT VALID"));
  EXPECT_THAT(front, HasSubstr("Number of pressure stations: 2, at least 5: failed"));
  EXPECT_THAT(front, Not(HasSubstr("1190")));
  EXPECT_THAT(text, HasSubstr("Figures of a run that does not count"));
}

TEST(ReportDocument, NeverCallsValidWhatItsOwnChecksContradict) {
  ReportData data = example::report_data();
  data.result.verdicts[0].outcome = control::CheckOutcome::failed;

  EXPECT_THAT(example::report_text(data), HasSubstr("NOT VALID"));
}

TEST(ReportDocument, SaysACheckOfBothDirectionsInOneLineWhereItCan) {
  ReportData data = example::report_data(2);
  const auto seen = [&data](double first, double second, double second_limit) {
    data.result.verdicts.clear();
    data.result.verdicts.push_back({0, 0, control::CheckOutcome::passed, first, 5});
    data.result.verdicts.push_back({0, 1, control::CheckOutcome::passed, second, second_limit});
    return example::report_text(data);
  };

  EXPECT_THAT(seen(8, 8, 5), HasSubstr("both: 8, at least 5"));
  EXPECT_THAT(seen(8, 7, 5), HasSubstr("8 and 7, at least 5"));
  EXPECT_THAT(seen(8, 7, 6), HasSubstr("depressurize: 8, at least 5\npressurize: 7, at least 6"));
}

TEST(ReportDocument, SaysOnceThatEveryItemWasDone) {
  ReportData data = example::report_data();
  EXPECT_THAT(example::report_text(data), HasSubstr("not applicable | 2. Kitchen hood"));

  data.story.preparation[1].answer = "done";
  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("Preparation: each item was answered done\ncontinued"));
  EXPECT_THAT(text, HasSubstr("1. Windows closed. | 2. Kitchen hood"));
  data.story.preparation.pop_back();
  EXPECT_THAT(example::report_text(data), HasSubstr("1. Windows closed. | \n"));
}

TEST(ReportDocument, NamesTheCauseOfATrip) {
  ReportData data = example::report_data();
  data.state = control::RunState::tripped;
  data.result = {};
  data.story.trip = control::Trip{control::TripCause::wrong_way, control::StopMode::cut, 0, 12, 10};

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("TRIPPED – NO RESULT"));
  EXPECT_THAT(text, HasSubstr("moves the wrong way"));
}

TEST(ReportDocument, TellsStoppedUnfinishedAndHandDrivenApart) {
  ReportData data = example::report_data();
  data.result = {};

  data.state = control::RunState::stopped;
  EXPECT_THAT(example::report_text(data), HasSubstr("STOPPED – NO RESULT"));
  data.state = control::RunState::interrupted;
  EXPECT_THAT(example::report_text(data), HasSubstr("NOT FINISHED – NO RESULT"));
  data.state = control::RunState::done;
  EXPECT_THAT(example::report_text(data), HasSubstr("NO RESULT"));
  data.is_test = false;
  EXPECT_THAT(example::report_text(data), HasSubstr("NOT A TEST"));
}

TEST(ReportDocument, CountsDeviationsAndListsThem) {
  ReportData data = example::report_data();
  data.result.verdicts.clear();
  data.result.verdicts.push_back({1, 0, control::CheckOutcome::failed, 0.97, 0.98});

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("Valid, with 1 deviation"));
  EXPECT_THAT(text, HasSubstr("Deviation: Coefficient of determination r2: 0.9700, at least 0.9800: failed"));
}

TEST(ReportDocument, SaysWhatAFigureLacks) {
  ReportData data = example::report_data();
  data.record.building.volume_m3 = 0;
  data.result.n50_per_h = {};

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("n50 | not known | no volume stated"));
  EXPECT_THAT(text, HasSubstr("Volume: not stated"));
}

TEST(ReportDocument, DoesNotPraiseAnAssumedExponent) {
  ReportData data = example::report_data();
  data.record.procedure.fit = control::FitMethod::fixed_exponent;
  data.result.directions[0].standard.degrees_of_freedom = 0;

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("assumed and not measured"));
  EXPECT_THAT(text, HasSubstr("r² | - |"));
}

TEST(ReportDocument, GivesTheOtherReferencePressureItsName) {
  ReportData data = example::report_data();
  data.record.procedure.reference_pressure_pa = 75;

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("q75 |"));
  EXPECT_THAT(text, HasSubstr("q50 | 1190 m³/h | no interval | read off the curve at 50 Pa"));
}

TEST(ReportDocument, HoldsTheResultAgainstTheTargetsOfTheBuilding) {
  ReportData data = example::report_data();
  data.targets = {
      {"Invented code", "Invented code: n50 2.98 1/h, at most 3 1/h, simple rule: met", true, true},
      {"Stricter code", "Stricter code: n50 2.98 1/h, at most 1 1/h, simple rule: not met", true, false}};

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("Target met"));
  EXPECT_THAT(text, HasSubstr("Invented code: n50 2.98 1/h"));
  EXPECT_THAT(text, Not(HasSubstr("Invented code: Invented code")));
  EXPECT_THAT(text, HasSubstr("Target not met"));
  data.state = control::RunState::stopped;
  EXPECT_THAT(example::report_text(data), Not(HasSubstr("Invented code")));
}

TEST(ReportDocument, SaysWhatTheReadingsShow) {
  ReportData data = example::report_data();
  control::Finding finding;
  finding.kind = control::FindingKind::opening;
  finding.sureness = 0.97;
  finding.size = 0.12;
  data.result.findings.push_back(finding);

  const std::string text = example::report_text(data);

  EXPECT_THAT(text, HasSubstr("Seen, "));
  EXPECT_THAT(text, HasSubstr(finding_title(finding)));
}

}  // namespace
}  // namespace leeward::daemon
