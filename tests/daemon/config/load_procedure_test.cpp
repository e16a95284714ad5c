#include "daemon/config/load_procedure.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"
#include "tests/daemon/config/procedure_text.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::with;
using control::CheckKind;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const std::string kProcedureText = R"([procedure]
title = "A test"
standard = "none"
directions = "both"
reference_pressure_pa = 49
pressure_max_pa = 70
[baseline]
duration_s = 45
min_samples = 20
after = false
[look_round]
pressure_pa = 9
min_s = 11
[climb]
rate_pa_s = 2
[stations]
pressures_pa = [55, 40, 25.5]
tolerance_pa = 1.5
settle_s = 4
average_s = 25
max_wait_s = 70
[fit]
method = "ols-loglog"
fixed_exponent = 0.66
exponent_u = 0.05
confidence = 0.9
[reference]
temperature_c = 19
barometric_pa = 101000
viscosity_correction = true
[[check]]
kind = "lowest_station"
low = 10
high = 30
zero_flow_factor = 5
severity = "deviation"
clause = "lowest"
mark = "source"
source = "a book"
)" + std::string(config_test::kProcedureEnding);

std::vector<std::string> procedure_errors(const std::string& text) {
  const auto p = procedure_from_toml(text, "mine");
  EXPECT_EQ(p.value.has_value(), p.errors.empty());
  return brief(p.errors);
}

std::vector<std::string> procedure_with(const std::string& from, const std::string& to) {
  return procedure_errors(with(kProcedureText, from, to));
}

TEST(ProcedureFromToml, GivesRunSettings) {
  const auto p = procedure_from_toml(kProcedureText, "mine");

  ASSERT_TRUE(p) << to_text(p.errors);
  EXPECT_EQ(p.value->id.view(), "mine");
  EXPECT_EQ(p.value->title.view(), "A test");
  EXPECT_EQ(p.value->directions, control::DirectionRule::both);
  EXPECT_EQ(p.value->reference_pressure_pa, 49);
  EXPECT_EQ(p.value->pressure_max_pa, 70);
  EXPECT_EQ(p.value->baseline_s, 45);
  EXPECT_EQ(p.value->baseline_min_samples, 20);
  EXPECT_FALSE(p.value->baseline_after);
  EXPECT_EQ(p.value->look_round_pa, 9);
  EXPECT_EQ(p.value->look_round_min_s, 11);
  EXPECT_EQ(p.value->climb_rate_pa_s, 2);
  EXPECT_THAT(p.value->stations_pa, ElementsAre(55, 40, 25.5));
  EXPECT_EQ(p.value->station_tolerance_pa, 1.5);
  EXPECT_EQ(p.value->station_settle_s, 4);
  EXPECT_EQ(p.value->station_average_s, 25);
  EXPECT_EQ(p.value->station_max_wait_s, 70);
}

TEST(ProcedureFromToml, GivesFitReferenceAndLists) {
  const auto p = procedure_from_toml(kProcedureText, "mine");

  ASSERT_TRUE(p);
  EXPECT_EQ(p.value->fit, control::FitMethod::ols_loglog);
  EXPECT_EQ(p.value->fixed_exponent, 0.66);
  EXPECT_EQ(p.value->exponent_u, 0.05);
  EXPECT_EQ(p.value->confidence, 0.9);
  EXPECT_EQ(p.value->reference_temperature_c, 19);
  EXPECT_EQ(p.value->reference_pressure_abs_pa, 101000);
  EXPECT_TRUE(p.value->viscosity_correction);
  EXPECT_THAT(p.value->checklist, ElementsAre(control::Line("Windows closed.")));
  EXPECT_THAT(p.value->restore, ElementsAre(control::Line("Seals out."), control::Line("Traps filled.")));
}

TEST(ProcedureFromToml, GivesChecks) {
  const auto p = procedure_from_toml(kProcedureText, "mine");

  ASSERT_TRUE(p);
  control::CheckSpec lowest;
  lowest.kind = CheckKind::lowest_station;
  lowest.has_low = lowest.has_high = true;
  lowest.low = 10;
  lowest.high = 30;
  lowest.zero_flow_factor = 5;
  lowest.severity = control::Severity::deviation;
  lowest.clause = "lowest";
  lowest.mark = control::Mark::source;
  lowest.source = "a book";
  control::CheckSpec both;
  both.kind = CheckKind::both_directions;
  both.clause = "directions";
  EXPECT_THAT(p.value->checks, ElementsAre(lowest, both));
}

TEST(ProcedureFromToml, RefusesStationsAboveTheMaximum) {
  EXPECT_THAT(procedure_with("[55, 40", "[71, 40"),
              ElementsAre("17:stations.pressures_pa: must not be above procedure.pressure_max_pa, 70 Pa; the "
                          "highest is 71"));
}

TEST(ProcedureFromToml, RefusesALineThroughTwoPoints) {
  EXPECT_THAT(procedure_with("[55, 40, 25.5]", "[55, 40, 40]"),
              ElementsAre(HasSubstr("17:stations.pressures_pa: must name at least 3 different pressures")));
  EXPECT_THAT(
      procedure_errors(with(with(kProcedureText, "[55, 40, 25.5]", "[50]"), "ols-loglog", "fixed-exponent")),
      IsEmpty());
}

TEST(ProcedureFromToml, RefusesTooManyStations) {
  std::string list = "10";
  for (std::size_t i = 1; i <= control::kMaxStations; ++i) list += ", " + std::to_string(10 + i);

  EXPECT_THAT(procedure_with("[55, 40, 25.5]", "[" + list + "]"),
              ElementsAre("17:stations.pressures_pa: must be an array of 1 to 24 numbers, has 25"));
}

TEST(ProcedureFromToml, RefusesACheckWithoutItsLimit) {
  EXPECT_THAT(procedure_with("kind = \"both_directions\"", "kind = \"r2_min\""),
              ElementsAre("40:check[1].low: missing: this kind of check needs it"));
  EXPECT_THAT(procedure_with("kind = \"both_directions\"", "kind = \"wind_speed\"\nlow = 2"),
              ElementsAre("40:check[1].high: missing: this kind of check needs it",
                          "42:check[1].low: is not used by this kind of check"));
  EXPECT_THAT(procedure_with("kind = \"both_directions\"", "kind = \"highest_station\""),
              ElementsAre("40:check[1].low: missing: this kind of check needs low, high or both"));
}

TEST(ProcedureFromToml, RefusesAnInvertedRange) {
  EXPECT_THAT(procedure_with("high = 30", "high = 9"),
              ElementsAre("33:check[0].low: must not be above high"));
}

TEST(ProcedureFromToml, RefusesASourceMarkWithoutASource) {
  EXPECT_THAT(procedure_with("source = \"a book\"\n", ""),
              ElementsAre("31:check[0].source: missing: mark = \"source\" must name what was read"));
}

TEST(ProcedureFromToml, RefusesALineThatIsTooLong) {
  EXPECT_THAT(procedure_with("Seals out.", std::string(201, 's')),
              ElementsAre("48:restore[0].text: must be a text of 1 to 200 bytes, has 201"));
}

TEST(ProcedureFromToml, RefusesAnUnknownTableOrKind) {
  EXPECT_THAT(procedure_with("[climb]", "[clim]"), ElementsAre("14:clim: unknown key; did you mean climb?"));
  EXPECT_THAT(procedure_with("\"both_directions\"", "\"phase_of_moon\""),
              ElementsAre(HasSubstr("41:check[1].kind: must be baseline_sign_means, ")));
}

TEST(ProcedureFromToml, NamesItsTextInMessages) {
  const auto p = procedure_from_toml("[procedure", "mine");

  ASSERT_EQ(p.errors.size(), 1U);
  EXPECT_EQ(p.errors[0].file, "mine");
  EXPECT_EQ(p.errors[0].line, 1);
}

TEST(ProcedureFromToml, RefusesANameThatDoesNotFit) {
  EXPECT_THAT(brief(procedure_from_toml(kProcedureText, std::string(49, 'n')).errors),
              ElementsAre("0:: a procedure's name must have 1 to 48 bytes, has 49"));
}

TEST(LoadProcedure, TakesItsIdFromTheFileName) {
  const config_test::TempFolder folder;

  const auto p = load_procedure(folder.write("my-steps.toml", kProcedureText));

  ASSERT_TRUE(p);
  EXPECT_EQ(p.value->id.view(), "my-steps");
}

TEST(ProcedureFromToml, ReadsWindowsThatAdapt) {
  const auto p = procedure_from_toml(
      with(with(kProcedureText, "min_samples = 20", "min_samples = 20\nmost_s = 90\nse_pa = 0.2"),
           "average_s = 25",
           "average_s = 25\naverage_most_s = 30\naverage_se_frac = 0.005\nkeep_speed = false"),
      "mine");

  ASSERT_TRUE(p) << to_text(p.errors);
  EXPECT_EQ(p.value->baseline_most_s, 90);
  EXPECT_EQ(p.value->baseline_se_pa, 0.2);
  EXPECT_EQ(p.value->station_most_s, 30);
  EXPECT_EQ(p.value->station_se_frac, 0.005);
  EXPECT_FALSE(p.value->keep_speed);
  EXPECT_EQ(procedure_from_toml(kProcedureText, "mine").value->station_most_s, 0);
}

TEST(ProcedureFromToml, RefusesAWindowThatEndsBeforeItBegins) {
  EXPECT_THAT(procedure_with("min_samples = 20", "most_s = 44"),
              ElementsAre("9:baseline.most_s: must not be below the least length, 45 s"));
  EXPECT_THAT(procedure_with("average_s = 25", "average_s = 25\naverage_most_s = 24"),
              ElementsAre("21:stations.average_most_s: must not be below the least length, 25 s"));
}

TEST(ProcedureFromToml, RefusesAnAimThatNothingFollows) {
  EXPECT_THAT(procedure_with("min_samples = 20", "se_pa = 0.1"),
              ElementsAre("9:baseline.se_pa: has no effect without most_s"));
  EXPECT_THAT(procedure_with("average_s = 25", "average_se_frac = 0.003"),
              ElementsAre("20:stations.average_se_frac: has no effect without average_most_s"));
}

TEST(ProcedureFromToml, TakesTwoPressuresThatAreRepeated) {
  EXPECT_THAT(procedure_with("[55, 40, 25.5]", "[50, 50, 12.5, 12.5]"), IsEmpty());
  EXPECT_THAT(procedure_with("[55, 40, 25.5]", "[50, 12.5]"), testing::SizeIs(1));
}

TEST(ProcedureFromToml, RefusesToBuildOnAFileThatItCannotName) {
  EXPECT_THAT(procedure_with("title", "like = \"other.toml\"\ntitle"),
              ElementsAre("2:procedure.like: names another file, which only a procedure in a file can do"));
}

}  // namespace
}  // namespace leeward::daemon
