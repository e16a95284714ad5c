#include "daemon/report/units.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/report/ip_figures.hpp"
#include "daemon/report/result_json.hpp"
#include "daemon/report/result_table.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;

nlohmann::json unit_example() {
  return result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(), example::result(),
                     example::engine());
}

// Exact by the definitions of foot and inch.
TEST(FaceUnit, ConvertsByDefinition) {
  EXPECT_NEAR(face_unit(Quantity::flow, Units::ip).factor, 1 / 1.6990107955, 1e-10);
  EXPECT_NEAR(face_unit(Quantity::flow_per_area, Units::ip).factor, 1 / 18.288, 1e-12);
  EXPECT_NEAR(face_unit(Quantity::area, Units::ip).factor, 1 / 6.4516, 1e-12);
  EXPECT_NEAR(face_unit(Quantity::area_per_area, Units::ip).factor, 1.44, 1e-12);
  EXPECT_EQ(face_unit(Quantity::flow, Units::si).factor, 1 / 3600.0);
  EXPECT_EQ(face_unit(Quantity::area, Units::metric).factor, 1);
}

TEST(IpFigures, KeepTheIntervalAndLeaveNullNull) {
  const nlohmann::json result = unit_example();
  const nlohmann::json ip = ip_figures(result);

  for (const std::string end : {"", "_low", "_high", "_upper"})
    EXPECT_NEAR(ip["q50_cfm" + end].get<double>(), result["q50_m3_h" + end].get<double>() / 1.6990107955,
                1e-6);
  EXPECT_EQ(ip["n50_per_h"], result["n50_per_h"]);
  EXPECT_NEAR(ip["ela4_in2"].get<double>(), 250 / 6.4516, 1e-9);
  EXPECT_TRUE(ip["qe50_cfm_ft2"].is_null());
}

TEST(ResultTable, ShowsTheUnitsThatAreAskedFor) {
  EXPECT_THAT(result_table(unit_example()), HasSubstr("q50    1190 m3/h"));
  EXPECT_THAT(result_table(unit_example(), Units::ip), HasSubstr("q50    701 cfm"));
  EXPECT_THAT(result_table(unit_example(), Units::ip), HasSubstr("indoors 68.0 F"));
  EXPECT_THAT(result_table(unit_example(), Units::si), HasSubstr("q50    0.331 m3/s"));
}

}  // namespace
}  // namespace leeward::daemon
