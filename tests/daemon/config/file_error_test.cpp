#include "daemon/config/file_error.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using testing::ElementsAre;
using testing::IsEmpty;

TEST(Findings, TellCausesOnlyWhereThereIsOne) {
  Findings findings("f.toml");
  findings.conclude(3, 1, "b", "does not fit a");
  findings.warn(4, 1, "c", "is assumed");
  findings.error(2, 1, "a", "is no number");

  const auto out = loaded(1, findings);

  EXPECT_THAT(brief(out.errors), ElementsAre("2:a: is no number"));
  EXPECT_THAT(out.warnings, IsEmpty());
  EXPECT_FALSE(out);
}

TEST(Findings, AConclusionWithoutAnotherErrorIsAnError) {
  Findings findings("f.toml");
  findings.conclude(3, 1, "b", "does not fit a");

  const auto out = loaded(1, findings);

  EXPECT_THAT(brief(out.errors), ElementsAre("3:b: does not fit a"));
  EXPECT_FALSE(out);
}

TEST(Findings, WarningsComeWithAValue) {
  Findings findings("f.toml");
  findings.warn(4, 1, "c", "is assumed");

  const auto out = loaded(1, findings);

  EXPECT_TRUE(out);
  EXPECT_THAT(brief(out.warnings), ElementsAre("4:c: is assumed"));
}

TEST(Findings, TellAnErrorOfAFileThatIsNamedTwiceOnce) {
  Findings findings("rig.toml");
  const std::vector<FileError> of_fan{{"fan.toml", 2, 1, "k", "is no number"}};
  findings.add(of_fan, {});
  findings.add(of_fan, of_fan);

  EXPECT_EQ(findings.errors.size(), 1U);
  EXPECT_EQ(findings.warnings.size(), 1U);
}

}  // namespace
}  // namespace leeward::daemon
