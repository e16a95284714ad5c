#include "daemon/config/load_targets.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::with;
using testing::ElementsAre;
using testing::HasSubstr;

const std::string kTargetsText = R"([targets]
programme = "Invented"
per = "envelope"
[[target]]
id = "one"
title = "First"
metric = "qe50"
limit = 0.3
unit = "cfm/ft2"
one_point_factor = 1.1
mark = "source"
source = "a book"
[[target]]
id = "two"
title = "Second"
edition = "2030"
per = "floor"
metric = "n50"
limit = 1.5
unit = "1/h"
mark = "memory"
)";

std::vector<std::string> target_errors(const std::string& from, const std::string& to) {
  const config_test::TempFolder folder;
  return brief(load_targets(folder.write("t.toml", with(kTargetsText, from, to))).errors);
}

TEST(LoadTargets, GivesLimitsAsTheyAreStated) {
  const config_test::TempFolder folder;
  const auto targets = load_targets(folder.write("t.toml", kTargetsText));

  ASSERT_TRUE(targets) << to_text(targets.errors);
  ASSERT_EQ(targets.value->size(), 2U);
  const control::TargetSpec& one = targets.value->at(0);
  EXPECT_EQ(one.id.view(), "one");
  EXPECT_EQ(one.programme.view(), "Invented");
  EXPECT_EQ(one.per.view(), "envelope");
  EXPECT_EQ(one.metric, control::TargetMetric::qe50);
  EXPECT_EQ(one.unit, control::TargetUnit::cfm_ft2);
  EXPECT_EQ(one.limit, 0.3);
  EXPECT_EQ(one.one_point_factor, 1.1);
  EXPECT_EQ(one.mark, control::Mark::source);
  EXPECT_EQ(targets.value->at(1).per.view(), "floor");
  EXPECT_EQ(targets.value->at(1).edition.view(), "2030");
}

TEST(LoadTargets, RefusesWhatCannotBeALimit) {
  EXPECT_THAT(target_errors("limit = 0.3", "limit = 0"), ElementsAre(HasSubstr("must be 0.001 to 1000")));
  EXPECT_THAT(target_errors("\"cfm/ft2\"", "\"1/h\""),
              ElementsAre("9:target[0].unit: is not a unit of this metric"));
  EXPECT_THAT(target_errors("source = \"a book\"\n", ""), ElementsAre(HasSubstr("must name what was read")));
  EXPECT_THAT(target_errors("metric", "metrik"), ElementsAre(HasSubstr("did you mean metric?")));
}

TEST(LoadAllTargets, RefusesAnIdThatIsThereTwice) {
  const config_test::TempFolder folder;
  folder.write("targets/a.toml", kTargetsText);
  folder.write("targets/b.toml", with(kTargetsText, "\"two\"", "\"three\""));

  EXPECT_THAT(to_text(load_all_targets(folder.path("")).errors), HasSubstr("two targets have the id one"));
}

TEST(LoadNamedTargets, KeepsTheOrderAndNamesTheNearest) {
  const config_test::TempFolder folder;
  folder.write("targets/a.toml", kTargetsText);

  const auto named = load_named_targets({"two", "one"}, folder.path(""));
  ASSERT_TRUE(named);
  EXPECT_EQ(named.value->front().id.view(), "two");
  EXPECT_THAT(to_text(load_named_targets({"onne"}, folder.path("")).errors),
              HasSubstr("there is no target onne; did you mean one?"));
}

TEST(ShippedTargets, HaveIdsOfTheirOwnAndASourceOrNone) {
  const auto all = load_all_targets(std::string(LEEWARD_SOURCE_DIR) + "/config");

  ASSERT_TRUE(all) << to_text(all.errors);
  EXPECT_GE(all.value->size(), 40U);
  for (const control::TargetSpec& target : *all.value) {
    EXPECT_EQ(target.mark == control::Mark::source, !target.source.empty()) << target.id.view();
    EXPECT_FALSE(target.programme.empty()) << target.id.view();
  }
}

}  // namespace
}  // namespace leeward::daemon
