#include "daemon/api/metrics.hpp"

#include <regex>
#include <set>
#include <sstream>

#include "tests/daemon/api/api_fixture.hpp"

namespace leeward::daemon {

class MetricsScrape : public ApiFixture {
 protected:
  std::string scrape() {
    const ApiResponse response = ask("GET", "/metrics", "", "");
    EXPECT_EQ(response.status, 200);
    EXPECT_EQ(response.content_type, "text/plain; version=0.0.4; charset=utf-8");
    return response.body;
  }
  static bool has_line(const std::string& text, const std::string& line) {
    return ("\n" + text).find("\n" + line + "\n") != std::string::npos;
  }
};

TEST_F(MetricsScrape, GivesValuesWithUnitsAndLeavesOutWhatIsNotKnown) {
  Snapshot snapshot;
  snapshot.sample.building_pressure_pa = {-50.25, 0, control::Quality::good};
  snapshot.outputs[0] = {true, 0.5};
  snapshot.ticks = 7;
  snapshot.late_ticks = 2;
  snapshot.recorder_backlog = 3;
  snapshot.state.phase = control::Phase::hold;
  backend_.set(snapshot);
  backend_.health.no_answers = 4;
  desk_.refused["wrong_token"] = 5;

  const std::string text = scrape();

  EXPECT_TRUE(has_line(text, "leeward_building_pressure_pascals -50.25")) << text;
  EXPECT_TRUE(has_line(text, "leeward_fan_demand_ratio{fan=\"fan-a\"} 0.5")) << text;
  EXPECT_TRUE(has_line(text, "leeward_ticks_total 7")) << text;
  EXPECT_TRUE(has_line(text, "leeward_late_ticks_total 2")) << text;
  EXPECT_TRUE(has_line(text, "leeward_bus_errors_total{kind=\"no_answer\"} 4")) << text;
  EXPECT_TRUE(has_line(text, "leeward_recorder_backlog_ticks 3")) << text;
  EXPECT_TRUE(has_line(text, "leeward_phase{phase=\"hold\"} 1")) << text;
  EXPECT_TRUE(has_line(text, "leeward_phase{phase=\"idle\"} 0")) << text;
  EXPECT_TRUE(has_line(text, "leeward_api_refused_total{reason=\"wrong_token\"} 5")) << text;
  EXPECT_EQ(text.find("leeward_induced_pressure_pascals"), std::string::npos) << text;
  EXPECT_EQ(text.find("leeward_fan_flow_cubic_meters_per_second"), std::string::npos) << text;
}

TEST_F(MetricsScrape, CountsLatenessInRisingBuckets) {
  Snapshot snapshot;
  for (const double late_s : {-0.01, 0.0005, 0.004, 0.3, 2.0}) snapshot.lateness.add(late_s);
  backend_.set(snapshot);

  const std::string text = scrape();

  EXPECT_TRUE(has_line(text, "leeward_tick_lateness_seconds_bucket{le=\"0.001\"} 2")) << text;
  EXPECT_TRUE(has_line(text, "leeward_tick_lateness_seconds_bucket{le=\"0.005\"} 3")) << text;
  EXPECT_TRUE(has_line(text, "leeward_tick_lateness_seconds_bucket{le=\"0.5\"} 4")) << text;
  EXPECT_TRUE(has_line(text, "leeward_tick_lateness_seconds_bucket{le=\"+Inf\"} 5")) << text;
  EXPECT_TRUE(has_line(text, "leeward_tick_lateness_seconds_count 5")) << text;
}

// The conventions: prometheus.io/docs/practices/naming, and what promtool check metrics asks for.
TEST_F(MetricsScrape, NamesFollowTheConventions) {
  Snapshot snapshot;
  snapshot.sample.building_pressure_pa = {-50.25, 0, control::Quality::good};
  snapshot.unrest_pa = 0.5;
  backend_.set(snapshot);
  desk_.refused["wrong_token"] = 5;
  const std::regex unit_that_is_not_a_base_unit(
      "_(pa|hpa|m3|m3_h|m3_s|ms|us|ns|s|hz|min|minutes|hours|milliseconds|frac|percent)(_|$)");
  std::istringstream lines(scrape());
  std::set<std::string> names;

  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("# HELP ")) continue;
    std::istringstream help(line.substr(7));
    std::string name, words, type_line;
    help >> name;
    std::getline(help, words);
    std::getline(lines, type_line);
    EXPECT_TRUE(names.insert(name).second) << name << " comes twice";
    EXPECT_TRUE(std::regex_match(name, std::regex("leeward(_[a-z]+)+"))) << name;
    EXPECT_FALSE(std::regex_search(name, unit_that_is_not_a_base_unit)) << name;
    EXPECT_TRUE(words.ends_with('.')) << line;
    const std::string type_head = "# TYPE " + name + " ";
    ASSERT_TRUE(type_line.starts_with(type_head)) << type_line;
    EXPECT_EQ(type_line.substr(type_head.size()) == "counter", name.ends_with("_total")) << type_line;
  }

  EXPECT_TRUE(names.contains("leeward_building_pressure_pascals"));
  EXPECT_TRUE(names.contains("leeward_api_refused_total"));
}

TEST_F(MetricsScrape, ReadinessNamesWhatIsInTheWay) {
  Snapshot snapshot;
  snapshot.sample.device = control::DeviceStatus::ok;
  backend_.set(snapshot);
  EXPECT_EQ(ask("GET", "/v1/readyz", "", "").status, 200);

  snapshot.state.guard.trip.cause = control::TripCause::over_pressure;
  backend_.set(snapshot);
  const ApiResponse tripped = ask("GET", "/v1/readyz", "", "");
  EXPECT_EQ(tripped.status, 503);
  EXPECT_EQ(json_of(tripped)["tripped"], true);

  backend_.tick_age = 5;
  EXPECT_EQ(json_of(ask("GET", "/v1/readyz", "", ""))["ticking"], false);
}

}  // namespace leeward::daemon
