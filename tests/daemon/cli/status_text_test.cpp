#include "daemon/cli/status_text.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

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
       {"Holding 50.2 Pa", "-52.1 Pa", "43 %", "1800 m3/h as read", "bore-290", "3  Cover it. [done]"})
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
}

TEST(StatusText, LivesWithWhatIsMissing) {
  EXPECT_FALSE(status_text(nlohmann::json::object()).empty());
  EXPECT_FALSE(ask_text_block("", nlohmann::json::object()).empty());
  EXPECT_EQ(asks_text(nlohmann::json::array()), "nothing is asked");
  EXPECT_EQ(runs_text(nlohmann::json::array()), "there are no runs yet");
}

TEST(StatusText, BreaksALongAskIntoLinesUnderItsText) {
  const nlohmann::json ask = {{"id", "12"},
                              {"text", std::string(70, 'a') + " " + std::string(20, 'b')},
                              {"answers", {"done", "keep"}}};

  EXPECT_EQ(ask_text_block("ask ", ask),
            "ask 12  " + std::string(70, 'a') + "\n        " + std::string(20, 'b') + " [done, keep]\n");
}

TEST(StatusText, TakesNullForNotKnown) {
  nlohmann::json fan = {{"name", "fan-a"}, {"enabled", nullptr}, {"demand_frac", nullptr}};
  fan["covered"] = fan["flow_m3_s"] = fan["signal_pa"] = nullptr;
  const nlohmann::json status = {{"run_id", "run-1"}, {"run_state", nullptr}, {"fans", {fan}}};

  EXPECT_NE(status_text(status).find("fan-a: off, \n"), std::string::npos) << status_text(status);
}

TEST(StatusText, SaysUntilWhenASignOfLifeIsAskedFor) {
  nlohmann::json status = {{"presence", {{"interval_s", 600}, {"left_s", 200}, {"state", "due"}}}};
  EXPECT_NE(
      status_text(status).find("sign of life: leeward here within 3 min 20 s, else the pressure goes down\n"),
      std::string::npos);

  status["presence"]["state"] = "lowered";
  EXPECT_NE(status_text(status).find("else the fan goes off\n"), std::string::npos);
  status["presence"]["left_s"] = nullptr;
  EXPECT_EQ(status_text(status).find("sign of life"), std::string::npos);
  EXPECT_EQ(status_text({{"presence", nullptr}}).find("sign of life"), std::string::npos);
}

TEST(StatusText, SaysWhyARecordingStopped) {
  const nlohmann::json status = {{"recorder", "idle"}, {"recorder_fault", "The disk is full, invented."}};

  EXPECT_NE(status_text(status).find("recording: The disk is full, invented.\n"), std::string::npos);
  EXPECT_EQ(status_text({{"recorder_fault", nullptr}}).find("recording: "), std::string::npos);
}

TEST(StatusText, NamesNoRunStateWhereThereIsNone) {
  const nlohmann::json status = {{"phase", "idle"}, {"run_id", "run-1"}, {"run_state", "none"}};

  EXPECT_NE(status_text(status).find("phase: idle, run run-1\n"), std::string::npos);
}

TEST(StatusText, PutsTheRunsIntoColumns) {
  const nlohmann::json runs = {
      {{"id", "run-20261125-164049"}, {"state", "done"}, {"procedure", "iso-9972"}, {"building", "A"}},
      {{"id", "run-20261125-164033-2"}, {"state", "interrupted"}, {"procedure", "hold"}, {"building", ""}}};

  EXPECT_EQ(runs_text(runs),
            "run-20261125-164049     done         iso-9972      A\n"
            "run-20261125-164033-2   interrupted  hold\n");
}

}  // namespace leeward::daemon
