#include "daemon/cli/run_body.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

/// A building file as it was read.
Loaded<BuildingFile> run_body_file(std::vector<std::pair<std::string, double>> conditions) {
  Loaded<BuildingFile> file;
  file.value.emplace();
  file.value->given_conditions = std::move(conditions);
  return file;
}

RunCommand run_with(std::map<std::string, double> conditions) {
  RunCommand command;
  command.building = "b.toml";
  command.conditions = std::move(conditions);
  return command;
}

TEST(RunBody, RefusesToAssumeATemperatureAndNamesTheOptions) {
  const auto body = run_body(run_with({}), run_body_file({}));

  ASSERT_FALSE(body.has_value());
  EXPECT_EQ(body.error().exit, exit_usage);
  EXPECT_THAT(body.error().detail,
              HasSubstr("give --indoor-c and --outdoor-c, or a table [conditions] in b.toml"));
}

TEST(RunBody, NamesOnlyTheOptionThatIsMissing) {
  const auto body = run_body(run_with({{"indoor_c", 21}}), run_body_file({}));

  EXPECT_THAT(body.error().detail, HasSubstr("give --outdoor-c, or"));
}

TEST(RunBody, TakesTheConditionsOfTheFileAndThoseOfTheCommandLineBeforeThem) {
  const auto body = run_body(run_with({{"outdoor_c", -3}}),
                             run_body_file({{"indoor_c", 21}, {"outdoor_c", 4}, {"altitude_m", 250}}));

  ASSERT_TRUE(body.has_value());
  EXPECT_EQ(body->json["conditions"],
            nlohmann::json({{"indoor_c", 21.0}, {"outdoor_c", -3.0}, {"altitude_m", 250.0}}));
  EXPECT_THAT(body->warnings, IsEmpty());
}

TEST(RunBody, AnAltitudeOfTheCommandLineIsNotOutweighedByTheFilesBarometer) {
  const auto body = run_body(run_with({{"altitude_m", 1600}}),
                             run_body_file({{"indoor_c", 21}, {"outdoor_c", 4}, {"barometric_pa", 101000}}));

  ASSERT_TRUE(body.has_value());
  EXPECT_FALSE(body->json["conditions"].contains("barometric_pa"));
}

TEST(RunBody, AsksForASignOfLifeOnlyWhereToldTo) {
  RunCommand command = run_with({});
  const auto file = run_body_file({{"indoor_c", 21}, {"outdoor_c", 4}});
  EXPECT_FALSE(run_body(command, file)->json.contains("presence_s"));

  command.presence_s = 600;
  EXPECT_EQ(run_body(command, file)->json["presence_s"], 600);
}

TEST(RunBody, WarnsOfSeaLevelOnceAndOnlyWhereItIsAssumed) {
  Loaded<BuildingFile> file = run_body_file({});
  file.warnings = {{"b.toml", 1, 1, "conditions", "not given"},
                   {"b.toml", 1, 1, "building.volume_m3", "not given"}};
  std::map<std::string, double> given{{"indoor_c", 21}, {"outdoor_c", 4}};

  const auto assumed = run_body(run_with(given), file);
  given["barometric_pa"] = 98000;
  const auto known = run_body(run_with(given), file);

  ASSERT_TRUE(assumed.has_value() && known.has_value());
  EXPECT_THAT(assumed->warnings, ElementsAre(HasSubstr("volume_m3"), HasSubstr("sea level is assumed")));
  EXPECT_THAT(known->warnings, ElementsAre(HasSubstr("volume_m3")));
}

}  // namespace
}  // namespace leeward::daemon
