// The test report of real recordings, by the real binary; its text as another program reads it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
using testing::HasSubstr;

std::string text_of_pdf(const std::string& pdf) {
  Process reader({"/usr/bin/pdftotext", "-layout", pdf, "-"});
  (void)reader.wait_for_exit(seconds(30));
  return reader.output();
}

TEST(Report, OfAWholeRunHoldsItsResultAndOfAStoppedOneSaysSo) {
  ASSERT_TRUE(std::filesystem::exists("/usr/bin/pdftotext")) << "scripts/install-packages test installs it";
  const Folder folder;
  Bench bench(folder, 30);
  ASSERT_TRUE(bench.serve(folder));
  const std::vector<std::string> start = {binary(),
                                          "run",
                                          "single-point",
                                          "--building",
                                          source("config/buildings/demo-building.toml"),
                                          "--direction",
                                          "depressurize",
                                          "--json",
                                          "--socket",
                                          bench.socket()};
  Process run(start);
  ASSERT_EQ(run.wait_for_exit(seconds(120)), 0);
  const std::string id = nlohmann::json::parse(run.output())["run_id"];

  const std::string pdf = folder / "report.pdf";
  Process report({binary(), "report", id, "--pdf", pdf, "--paper", "letter", "--svg", folder / "svg"});
  ASSERT_EQ(report.wait_for_exit(seconds(60)), 0);
  const std::string text = text_of_pdf(pdf);
  for (const char* fact : {"Demo house, invented", "Valid", "q50", "m³/h", "Single-point test at 50 Pa",
                           "Page 1 of", "SHA-256", "bore-290", "Drain traps hold water"})
    EXPECT_THAT(text, HasSubstr(fact));
  EXPECT_TRUE(std::filesystem::exists(folder / "svg/curve.svg"));

  Process second(start);
  ASSERT_TRUE(await([&] { return bench.phase() == "look_round"; }, seconds(60)));
  ASSERT_LT(bench.post("/v1/stop"), 300);
  ASSERT_EQ(second.wait_for_exit(seconds(60)), 1);
  std::vector<std::string> recordings = folder.recordings();
  std::erase_if(recordings,
                [&](const std::string& path) { return path.find(id + ".leeward") != std::string::npos; });
  ASSERT_EQ(recordings.size(), 1U);
  Process stopped({binary(), "report", recordings[0], "--pdf", pdf});
  ASSERT_EQ(stopped.wait_for_exit(seconds(60)), 0);
  EXPECT_THAT(text_of_pdf(pdf), HasSubstr("STOPPED"));
}

TEST(Report, RefusesWhatIsNoRecording) {
  const Folder folder;
  const std::string file = folder.write("a.leeward", "no recording");

  Process bad({binary(), "report", file, "--pdf", folder / "a.pdf"});
  Process missing({binary(), "report", "run-19700101-000000", "--pdf", folder / "a.pdf"});
  Process nothing({binary(), "report", file});

  EXPECT_EQ(bad.wait_for_exit(seconds(20)), 65);
  EXPECT_EQ(missing.wait_for_exit(seconds(20)), 65);
  EXPECT_EQ(nothing.wait_for_exit(seconds(20)), 64);
}

}  // namespace
}  // namespace leeward::e2e
