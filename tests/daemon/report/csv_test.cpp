#include "daemon/report/csv.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>
#include <vector>

#include "daemon/recorder/recorder.hpp"
#include "daemon/report/result_json.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

std::vector<std::string> csv_fields(const std::string& line) {
  std::vector<std::string> fields;
  std::istringstream in(line.substr(0, line.find('\r')) + ",");
  for (std::string field; std::getline(in, field, ',');) fields.push_back(field);
  return fields;
}

std::vector<std::string> csv_lines(const std::filesystem::path& path) {
  std::vector<std::string> lines;
  const auto reader = RecordingReader::open(path);
  EXPECT_TRUE(reader.has_value());
  const auto written = write_samples_csv(*reader, [&](std::string_view line) {
    lines.emplace_back(line);
    return true;
  });
  EXPECT_TRUE(written.has_value());
  return lines;
}

std::string csv_value(const std::vector<std::string>& lines, std::size_t row, const std::string& name) {
  const auto header = csv_fields(lines.at(0));
  const auto fields = csv_fields(lines.at(row));
  for (std::size_t i = 0; i < header.size(); ++i)
    if (header[i] == name) return fields.at(i);
  ADD_FAILURE() << "no column " << name;
  return {};
}

TEST(SamplesCsv, HasOneLineATickWithUnitsInTheHeader) {
  const synthetic::TemporaryDirectory directory;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {});
  ASSERT_TRUE(recorder.has_value());
  control::Sample sample;
  sample.stamp_ns = 1500000000;
  sample.building_pressure_pa = {-50.25, 1500000000, control::Quality::good};
  sample.indoor_c = {static_cast<double>(23.1F), 1500000000, control::Quality::good};
  control::StepOutput output;
  output.trace.pressure_good = output.trace.has_zero_flow = true;
  output.trace.induced_pa = 49.5;
  output.trace.zero_flow_pa = -0.75;
  output.command.fans[1] = {control::Drive::drive, 0.43};
  (*recorder)->append(0, sample, {}, output);
  (*recorder)->append(1, {}, {}, {});
  (*recorder)->close(control::RunState::done);

  const auto lines = csv_lines(directory / "a.leeward");

  ASSERT_EQ(lines.size(), 3U);
  EXPECT_THAT(lines[0], StartsWith("seq,time_s,"));
  for (const std::string& line : lines) {
    EXPECT_THAT(line, testing::EndsWith("\r\n"));
    EXPECT_EQ(csv_fields(line).size(), csv_fields(lines[0]).size());
  }
  EXPECT_EQ(csv_value(lines, 1, "time_s"), "1.5");
  EXPECT_EQ(csv_value(lines, 1, "building_pressure_pa"), "-50.25");
  EXPECT_EQ(csv_value(lines, 1, "indoor_c"), "23.1");  // not 23.100000381469727, the double of that float
  EXPECT_EQ(csv_value(lines, 1, "induced_pressure_pa"), "-49.5");
  EXPECT_EQ(csv_value(lines, 1, "fan2_demand_frac"), "0.43");
  EXPECT_EQ(csv_value(lines, 1, "fan2_command"), "drive");
  EXPECT_EQ(csv_value(lines, 2, "building_pressure_pa"), "");
  EXPECT_EQ(csv_value(lines, 2, "induced_pressure_pa"), "");
}

TEST(SamplesCsv, StopsWhenTheSinkHasHadEnough) {
  const synthetic::TemporaryDirectory directory;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {});
  ASSERT_TRUE(recorder.has_value());
  for (std::uint64_t seq = 0; seq < 50; ++seq) synthetic::append(**recorder, seq);
  (*recorder)->close(control::RunState::done);
  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());

  int lines = 0;
  const auto written = write_samples_csv(*reader, [&](std::string_view) { return ++lines < 10; });

  EXPECT_TRUE(written.has_value());
  EXPECT_EQ(lines, 10);
}

TEST(ResultCsv, ListsTheStationsAndQuotesWhatNeedsIt) {
  control::EngineConfig engine = example::engine();
  engine.fans[0].restrictions[1].name = "bore-290, \"worn\"";
  const auto result = result_json({"run-x", "0.1.0", control::RunState::done, 0}, example::record(),
                                  example::result(), engine);

  const std::string csv = result_csv(result);

  EXPECT_THAT(csv, StartsWith("direction,target_pa,induced_pa,"));
  EXPECT_THAT(csv, HasSubstr("\r\ndepressurize,50,50.1,-51.6,1224,"));
  EXPECT_THAT(csv, HasSubstr("\"bore-290, \"\"worn\"\"\""));
}

TEST(ResultCsv, OfNoStationsIsTheHeaderAlone) {
  EXPECT_THAT(result_csv(nlohmann::json::object()), testing::EndsWith("residual_frac\r\n"));
}

TEST(ResultJsonOfARecording, TakesTheLastSnapshotAndTheStateOfTheEnd) {
  const synthetic::TemporaryDirectory directory;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {});
  ASSERT_TRUE(recorder.has_value());
  auto state = std::make_unique<control::EngineState>();
  state->record = example::record();
  state->result = example::result();
  synthetic::append(**recorder, 0, state.get());
  (*recorder)->close(control::RunState::done);

  const auto result = result_json(*RecordingReader::open(directory / "a.leeward"));

  ASSERT_TRUE(result.has_value()) << result.error().field << result.error().text;
  EXPECT_EQ((*result)["run_id"], "run-20261125-140733");
  EXPECT_EQ((*result)["state"], "done");
  EXPECT_EQ((*result)["stations"].size(), 2U);
}

TEST(ResultJsonOfARecording, IsAnErrorWithoutAverages) {
  const synthetic::TemporaryDirectory directory;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {});
  ASSERT_TRUE(recorder.has_value());
  (*recorder)->close(control::RunState::stopped);

  const auto result = result_json(*RecordingReader::open(directory / "a.leeward"));

  ASSERT_FALSE(result.has_value());
  EXPECT_EQ(result.error().code, control::Errc::missing_key);
}

}  // namespace
}  // namespace leeward::daemon
