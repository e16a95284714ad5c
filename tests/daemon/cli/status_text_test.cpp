#include "daemon/cli/status_text.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "daemon/cli/sparkline.hpp"

namespace leeward::daemon {

TEST(StatusText, ShowsPressureFanAndAsks) {
  const nlohmann::json status = {{"sentence", "Holding 50.2 Pa below outdoors"},
                                 {"phase", "hold"},
                                 {"building_pressure_pa", -52.1},
                                 {"induced_pressure_pa", -50.2},
                                 {"fans",
                                  {{{"name", "fan-a"},
                                    {"enabled", true},
                                    {"demand_frac", 0.43},
                                    {"flow_m3_s", 0.5},
                                    {"signal_pa", 40.0},
                                    {"restriction", "bore-290"}}}},
                                 {"asks", {{{"id", "3"}, {"text", "Cover it."}, {"answers", {"done"}}}}}};

  const std::string text = status_text(status);

  for (const char* part :
       {"Holding 50.2 Pa", "-52.1 Pa", "43 %", "1800 m3/h", "bore-290", "3  Cover it.  [done]"})
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
}

TEST(StatusText, LivesWithWhatIsMissing) {
  EXPECT_FALSE(status_text(nlohmann::json::object()).empty());
  EXPECT_FALSE(live_line(nlohmann::json::object()).empty());
  EXPECT_EQ(asks_text(nlohmann::json::array()), "nothing is asked");
  EXPECT_EQ(runs_text(nlohmann::json::array()), "there are no runs yet");
}

TEST(Sparkline, IsLowForNothingAndHighForTheLargest) {
  EXPECT_EQ(sparkline({}), "");
  EXPECT_EQ(sparkline({0, 50, 100}), "▁▅█");
  EXPECT_EQ(sparkline({NAN, -5, INFINITY, 10}), "▁▁▁█");
}

}  // namespace leeward::daemon
