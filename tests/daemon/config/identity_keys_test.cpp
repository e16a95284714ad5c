#include "daemon/config/identity_keys.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/config/parse_toml.hpp"

namespace leeward::daemon {
namespace {

std::string identity_errors(const std::string& toml) {
  Findings findings("rig.toml");
  const auto root = parse_toml(toml, findings);
  TableReader table(*root, "", findings);
  (void)read_identity(table);
  table.finish();
  findings.close();
  return to_text(findings.errors);
}

TEST(Identity, TakesSerialAndDayOfCalibration) {
  EXPECT_EQ(identity_errors("serial = \"K-17\"\ncalibrated = \"2026-02-28\""), "");
  EXPECT_EQ(identity_errors(""), "");
}

TEST(Identity, NamesADayThatThereIsNot) {
  for (const char* day : {"2026-02-30", "28.2.2026", "2026-2-8", "2026-13-01", "never"}) {
    const std::string text = "calibrated = \"" + std::string(day) + "\"";
    EXPECT_THAT(identity_errors(text), testing::HasSubstr("calibrated: must be a day such as")) << day;
  }
}

}  // namespace
}  // namespace leeward::daemon
