#include "daemon/report/result_json.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "daemon/config/key_rules.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using nlohmann::json;
using testing::HasSubstr;

json result_json_example(int directions = 1, double reference_pa = 50) {
  return result_json({"run-20261125-140733", "0.1.0", control::RunState::done, 1795615653000},
                     example::record(directions, reference_pa), example::result(directions, reference_pa),
                     example::engine());
}

TEST(ResultJson, HoldsWhatTheInterfaceAgreedOn) {
  const json result = result_json_example();

  for (const char* key : {"run_id",   "procedure", "software_version", "state",        "valid",
                          "r2",       "stations",  "baselines",        "conditions",   "building",
                          "verdicts", "standard",  "directions",       "extrapolated", "budget",
                          "cautions", "ela4_cm2",  "eqla10_cm2",       "qe50_m3_h_m2", "qf50_m3_h_m2"})
    EXPECT_TRUE(result.contains(key)) << key;
  for (const std::string key : {"q50_m3_h", "n50_per_h", "c_m3_h_pan", "n"})
    for (const std::string end : {"", "_low", "_high"})
      EXPECT_TRUE(result[key + end].is_number()) << key << end;
  EXPECT_EQ(result["procedure"], "steady");
  EXPECT_EQ(result["state"], "done");
  EXPECT_EQ(result["started_at"], "2026-11-25T14:07:33Z");
}

TEST(ResultJson, StatesFlowsPerHourAndAreasInSquareCentimetres) {
  const json result = result_json_example();

  EXPECT_DOUBLE_EQ(result["c_m3_h_pan"].get<double>(), 0.026 * 3600);
  EXPECT_DOUBLE_EQ(result["q50_m3_h"].get<double>(), 0.026 * std::pow(50, 0.65) * 3600);
  EXPECT_DOUBLE_EQ(result["ela4_cm2"].get<double>(), 250);
  EXPECT_DOUBLE_EQ(result["stations"][0]["flow_m3_h"].get<double>(), 0.34 * 3600);
  EXPECT_DOUBLE_EQ(result["stations"][0]["flow_read_m3_h"].get<double>(), 0.33 * 3600);
}

TEST(ResultJson, NamesRestrictionDirectionAndFlagsOfAStation) {
  const json station = result_json_example()["stations"][1];

  EXPECT_EQ(station["direction"], "depressurize");
  EXPECT_EQ(station["restriction"], "bore-290");
  EXPECT_EQ(station["measured_pa"], -26.4);
  EXPECT_EQ(station["induced_pa"], 24.9);
  EXPECT_EQ(station["settled"], false);
  EXPECT_EQ(station["signal_in_range"], false);
}

TEST(ResultJson, LeavesWhatIsNotKnownNull) {
  const json result = result_json_example();

  EXPECT_TRUE(result["qe50_m3_h_m2"].is_null());
  EXPECT_TRUE(result["eqla10_cm2_low"].is_null());
  EXPECT_TRUE(result["building"]["envelope_area_m2"].is_null());
  EXPECT_TRUE(result["conditions"]["barometric_pa"].is_null());
  EXPECT_TRUE(result["verdicts"][1]["seen"].is_null());
  EXPECT_EQ(result["conditions"]["wind_m_s"], 3);
}

TEST(ResultJson, StatesTheGaugesPartOfTheBudgetOrThatItIsLeftOut) {
  control::RunRecord record = example::record();
  control::RunResult result = example::result();
  const auto json_of = [&] {
    return result_json({"run-x", "0.1.0", control::RunState::done, 0}, record, result, example::engine());
  };
  constexpr const char* left_out = "No accuracy of the building pressure's gauge is stated";
  EXPECT_THAT(json_of()["cautions"].dump(), HasSubstr(left_out));

  record.building_gauge_accuracy_frac = 0.01;
  result.budget.gauge = 0.0038;

  EXPECT_EQ(json_of()["budget"]["gauge_frac"], 0.0038);
  EXPECT_EQ(json_of()["cautions"].dump().find(left_out), std::string::npos);
}

TEST(ResultJson, SaysOfTheWeatherWhatWasStatedAndWhatAssumed) {
  control::RunRecord record = example::record();
  const auto conditions = [&record] {
    return result_json({"run-x", "0.1.0", control::RunState::done, 0}, record, example::result(),
                       example::engine())["conditions"];
  };

  EXPECT_TRUE(conditions()["indoor_rh_frac"].is_null());
  EXPECT_TRUE(conditions()["altitude_m"].is_null());
  EXPECT_EQ(conditions()["assumed"],
            json({{"indoor_rh_frac", 0.5}, {"outdoor_rh_frac", 0.5}, {"altitude_m", 0.0}}));

  for (const auto& key : kConditionsKeys) set_number(record.conditions, key, 0.25);

  EXPECT_EQ(conditions()["indoor_rh_frac"], 0.25);
  EXPECT_EQ(conditions()["barometric_pa"], 0.25);
  EXPECT_TRUE(conditions()["altitude_m"].is_null());  // the barometer outweighs it
  EXPECT_EQ(conditions()["assumed"], json::object());
}

TEST(ResultJson, OfARunWithoutStationsInventsNothing) {
  control::RunRecord record = example::record();
  const json result =
      result_json({"run-x", "0.1.0", control::RunState::stopped, 0}, record, {}, example::engine());

  for (const char* key : {"q50_m3_h", "n50_per_h", "c_m3_h_pan", "n", "r2"})
    EXPECT_TRUE(result[key].is_null()) << key;
  EXPECT_EQ(result["valid"], false);
  EXPECT_EQ(result["computed"], false);
  EXPECT_TRUE(result["standard"]["q50_m3_h"].is_null());
  EXPECT_TRUE(result["budget"]["total_frac"].is_null());
  EXPECT_THAT(result["cautions"].dump(), HasSubstr("did not go to its end (stopped)"));
}

/// One station at 50 Pa: nothing to fit an exponent or an r2 to.
json single_point_json() {
  control::RunRecord record = example::record();
  record.procedure.fit = control::FitMethod::fixed_exponent;
  record.procedure.fixed_exponent = 0.65;
  control::RunResult result = example::result();
  result.r2 = 0;
  for (control::FitResult* fit :
       {&result.directions[0].own, &result.directions[0].standard, &result.directions[0].standard_env}) {
    fit->r2 = 0;
    fit->degrees_of_freedom = 0;
  }
  return result_json({"run-x", "0.1.0", control::RunState::done, 0}, record, result, example::engine());
}

TEST(ResultJson, OfASinglePointHasNoR2AndSaysThatTheExponentWasAssumed) {
  const json result = single_point_json();

  EXPECT_TRUE(result["r2"].is_null());
  EXPECT_TRUE(result["standard"]["r2"].is_null());
  for (const char* fit : {"own", "standard", "standard_env"}) {
    EXPECT_TRUE(result["directions"][0][fit]["r2"].is_null()) << fit;
    EXPECT_EQ(result["directions"][0][fit]["exponent_assumed"], true) << fit;
  }
  EXPECT_EQ(result["exponent_assumed"], true);
  EXPECT_TRUE(result["q50_m3_h"].is_number());
  EXPECT_THAT(result["cautions"].dump(),
              HasSubstr("was assumed (0.65, standard uncertainty 0.06), not measured"));
}

TEST(ResultJson, OfALineThroughManyStationsKeepsR2) {
  const json result = result_json_example();

  EXPECT_EQ(result["r2"], 0.9995);
  EXPECT_EQ(result["standard"]["r2"], 0.9995);
  EXPECT_EQ(result["exponent_assumed"], false);
  EXPECT_EQ(result["cautions"].dump().find("assumed"), std::string::npos);
}

TEST(ResultJson, OfALineThroughTwoStationsHasNoR2) {
  control::RunResult two = example::result();
  two.directions[0].standard.degrees_of_freedom = 0;
  two.directions[0].standard.r2 = two.r2 = 1;

  const json result =
      result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(), two, example::engine());

  EXPECT_TRUE(result["r2"].is_null());
  EXPECT_TRUE(result["standard"]["r2"].is_null());
}

TEST(ResultJson, SaysThatOneDirectionGaveNoExponent) {
  control::RunResult partial = example::result(2);
  partial.directions[1].own.valid = false;

  const json result = result_json({"run-x", "0.1.0", control::RunState::invalid, 0}, example::record(2),
                                  partial, example::engine());

  EXPECT_EQ(result["exponent_assumed"], true);
  EXPECT_EQ(result["directions"][0]["own"]["exponent_assumed"], false);
  EXPECT_EQ(result["directions"][1]["own"]["exponent_assumed"], true);
}

TEST(ResultJson, ExplainsOurEstimateAndTheProceduresFit) {
  const json result = result_json_example();

  EXPECT_THAT(result["estimate_text"].get<std::string>(), HasSubstr("weighted by their uncertainty"));
  EXPECT_THAT(result["standard"]["text"].get<std::string>(), HasSubstr("not for viscosity"));
}

TEST(ResultJson, AtAnotherReferencePressureNamesItAndStatesQ50WithItsInterval) {
  const json result = result_json_example(1, 75);

  EXPECT_DOUBLE_EQ(result["q75_m3_h"].get<double>(), 0.026 * std::pow(75, 0.65) * 3600);
  EXPECT_TRUE(result["q75_m3_h_low"].is_number());
  EXPECT_DOUBLE_EQ(result["q50_m3_h"].get<double>(), 0.026 * std::pow(50, 0.65) * 3600);
  EXPECT_TRUE(result["q50_m3_h_low"].is_number());
  EXPECT_TRUE(result["q50_m3_h_upper"].is_number());
  EXPECT_DOUBLE_EQ(result["n50_per_h"].get<double>(), 0.026 * std::pow(50, 0.65) * 3600 / 400);
  EXPECT_TRUE(result["n75_per_h"].is_number());
  EXPECT_DOUBLE_EQ(result["standard"]["q50_m3_h"].get<double>(), 0.026 * std::pow(50, 0.65) * 3600);
}

TEST(ResultJson, OfBothDirectionsGivesEachAndTheMeanOfTheStandardFit) {
  const json result = result_json_example(2);

  EXPECT_EQ(result["directions"].size(), 2U);
  EXPECT_EQ(result["stations"].size(), 4U);
  EXPECT_EQ(result["baselines"].size(), 2U);
  EXPECT_EQ(result["directions"][1]["direction"], "pressurize");
  EXPECT_DOUBLE_EQ(result["standard"]["q50_m3_h"].get<double>(), 0.028 * std::pow(50, 0.65) * 3600);
  EXPECT_DOUBLE_EQ(result["standard"]["n"].get<double>(), 0.65);
  EXPECT_DOUBLE_EQ(result["standard"]["n50_per_h"].get<double>(), 0.028 * std::pow(50, 0.65) * 3600 / 400);
}

TEST(ResultJson, OfBothDirectionsLacksTheMeanWhenOneFitIsMissing) {
  control::RunResult partial = example::result(2);
  partial.directions[1].standard = {};

  const json result = result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(2), partial,
                                  example::engine());

  EXPECT_TRUE(result["standard"]["q50_m3_h"].is_null());
  EXPECT_EQ(result["standard"]["valid"], false);
}

TEST(ResultJson, GivesEveryVerdictItsClauseMarkAndEvidence) {
  const json verdict = result_json_example()["verdicts"][0];

  EXPECT_EQ(verdict["check"], "station_count");
  EXPECT_EQ(verdict["clause"], "clause 5.3");
  EXPECT_EQ(verdict["mark"], "memory");
  EXPECT_EQ(verdict["severity"], "invalid");
  EXPECT_EQ(verdict["outcome"], "failed");
  EXPECT_EQ(verdict["seen"], 2.0);
  EXPECT_EQ(verdict["limit"], 5.0);
  EXPECT_EQ(verdict["direction"], "depressurize");
  EXPECT_THAT(verdict["text"].get<std::string>(), HasSubstr("at least 5"));
  EXPECT_THAT(verdict["text"].get<std::string>(), HasSubstr("not checked against the standard's text"));
}

TEST(ResultJson, WarnsOfExtrapolationAndOfStationsThatAreNotAsTheyShould) {
  control::RunResult partial = example::result();
  partial.directions[0].extrapolated = true;
  partial.directions[0].highest_pa = 38.2;

  const json result = result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(), partial,
                                  example::engine());

  EXPECT_EQ(result["extrapolated"], true);
  EXPECT_THAT(result["cautions"].dump(), HasSubstr("was 38.2 Pa. The flow at 50 Pa is extrapolated"));
  EXPECT_THAT(result["cautions"].dump(), HasSubstr("1 of 2 stations (depressurize) have a fan-side signal"));
  EXPECT_THAT(result["cautions"].dump(), HasSubstr("1 of 2 stations (depressurize) were taken as they were"));
}

TEST(ResultJson, NeverHoldsANumberThatIsNotOne) {
  control::RunResult broken = example::result();
  broken.directions[0].stations[0].residual = std::nan("");
  broken.q_ref_m3_s.high = HUGE_VAL;

  const json result = result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(), broken,
                                  example::engine());

  EXPECT_TRUE(result["stations"][0]["residual_frac"].is_null());
  EXPECT_TRUE(result["q50_m3_h_high"].is_null());
}

}  // namespace
}  // namespace leeward::daemon
