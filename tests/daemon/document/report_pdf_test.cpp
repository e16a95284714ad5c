#include "daemon/document/report_pdf.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_procedure.hpp"
#include "tests/daemon/document/example_report.hpp"

namespace leeward::daemon {
namespace {

constexpr double kReportNan = std::numeric_limits<double>::quiet_NaN();

/// Every station that a procedure may have, in both directions, with names as long as they may be.
ReportData largest_report() {
  ReportData data = example::report_data(2);
  data.record.building.name =
      std::string_view(std::string(118, 'W') + "ß");  // one word that no line can hold
  data.record.procedure.title =
      "Ελληνικά Русский 中文 עברית العربية, 24 stations in either direction, invented to be long";
  for (std::size_t d = 0; d < 2; ++d) {
    data.result.directions[d].stations.clear();
    data.record.directions[d].stations.clear();
    for (int i = 0; i < static_cast<int>(control::kMaxStations); ++i) {
      const double pa = 70 - 2 * i;
      control::StationResult s{pa, -pa,   pa,         0.3,       0.026 * std::pow(pa, 0.65), 20, 0.5,
                               1,  0.001, i % 2 == 0, i % 3 == 0};
      data.result.directions[d].stations.push_back(s);
      control::StationRecord r;
      r.begin_ns = std::int64_t{i} * 20'000'000'000;
      r.end_ns = r.begin_ns + 10'000'000'000;
      r.pressure_mean_pa = -pa;
      data.record.directions[d].stations.push_back(r);
    }
  }
  const std::string item(200, 'x');
  data.story.preparation.assign(control::kMaxChecklist, {item, "not answered"});
  data.story.restore.assign(control::kMaxChecklist, {"word " + item.substr(0, 150), "not answered"});
  return data;
}

TEST(ReportPdf, TakesThreePagesAtMostForAUsualRunOnEitherPaper) {
  for (const Paper paper : {Paper::a4, Paper::letter})
    for (const int directions : {1, 2}) {
      ReportOptions options;
      options.paper = paper;
      const std::size_t pages = example::report_pages(example::report_data(directions), options);
      EXPECT_GE(pages, 2U);
      EXPECT_LE(pages, 3U);
    }
}

/// A whole run in both directions by a shipped procedure, with all that such a run has to say.
ReportData full_report() {
  ReportData data = largest_report();
  data.record.building.name = "Demo house, invented";
  data.record.procedure = *load_named_procedure("iso-9972", LEEWARD_SOURCE_DIR "/config").value;
  const control::ProcedureSpec& procedure = data.record.procedure;
  for (std::size_t d = 0; d < 2; ++d) {
    control::DirectionRecord& record = data.record.directions[d];
    record.before.taken = record.after.taken = true;
    while (record.stations.size() > procedure.stations_pa.size()) record.stations.pop_back();
    auto& stations = data.result.directions[d].stations;
    while (stations.size() > procedure.stations_pa.size()) stations.pop_back();
    for (auto& station : stations) station.settled = station.signal_in_range = true;
  }
  data.result.verdicts.clear();
  for (int i = 0; i < static_cast<int>(procedure.checks.size()); ++i)
    for (int d = 0; d < 2; ++d)
      data.result.verdicts.push_back({i, d, control::CheckOutcome::passed, 8.0 + d, 10});
  data.story.preparation.clear();
  for (const auto& item : procedure.checklist)
    data.story.preparation.push_back({std::string(item.view()), "done"});
  data.story.restore.assign(8, {"Seals out.", "done"});
  const std::string source(90, 'x');
  data.targets = {
      {"A", "Invented code: air changes at 50 Pa 3.33 1/h, at most 0.6 1/h: failed (" + source + ")", true,
       false},
      {"B",
       "Another code: air changes at 50 Pa 3.33 1/h, at most 3 1/h: failed (" + source + " " + source + ")",
       true, false}};
  return data;
}

TEST(ReportPdf, TakesThreePagesForAWholeRunInBothDirections) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    ReportOptions options;
    options.paper = paper;
    EXPECT_EQ(example::report_pages(full_report(), options), 3U);
  }
}

TEST(ReportPdf, IsTheSameBytesForTheSameData) {
  const auto first = report_pdf(example::report_data(2), ReportOptions{});
  const auto second = report_pdf(example::report_data(2), ReportOptions{});

  ASSERT_TRUE(first && second);
  EXPECT_EQ(*first, *second);
}

TEST(ReportPdf, CarriesTheDateOfTheRecording) {
  const auto pdf = report_pdf(example::report_data(), ReportOptions{});

  ASSERT_TRUE(pdf.has_value());
  EXPECT_NE(pdf->find("20261125141733Z"), std::string::npos);  // 10 minutes after the start
}

TEST(ReportPdf, LaysOutTheLargestRunThereIs) {
  const ReportData data = largest_report();
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    ReportOptions options;
    options.paper = paper;
    options.particulars.purpose = std::string(400, 'p');
    options.particulars.company = std::string(120, 'c');
    const std::size_t pages = example::report_pages(data, options);
    EXPECT_GE(pages, 4U);
    EXPECT_LE(pages, 7U);
  }
}

TEST(ReportPdf, GivesEveryEndOfARunAReport) {
  for (const control::RunState state :
       {control::RunState::none, control::RunState::running, control::RunState::done,
        control::RunState::invalid, control::RunState::stopped, control::RunState::tripped,
        control::RunState::interrupted}) {
    ReportData data = example::report_data();
    data.state = state;
    EXPECT_GE(example::report_pages(data), 1U);
    data.result = {};
    EXPECT_GE(example::report_pages(data), 1U);
  }
}

TEST(ReportPdf, TakesARecordingOfNothing) {
  ReportData data;

  EXPECT_GE(example::report_pages(data), 1U);
}

TEST(ReportPdf, TakesFiguresThatAreNone) {
  ReportData data = example::report_data(2);
  data.record.conditions.indoor_c = kReportNan;
  data.record.building.volume_m3 = kReportNan;
  data.record.procedure.reference_pressure_pa = 0;
  data.result.budget.total = kReportNan;
  data.result.budget.scatter = -1;
  for (auto& d : data.result.directions) {
    d.own.c_m3_s_pan.value = kReportNan;
    for (auto& s : d.stations) s.flow_m3_s = s.induced_pa = s.residual = kReportNan;
  }
  for (auto& d : data.record.directions)
    for (auto& s : d.stations) s.pressure_mean_pa = kReportNan;
  data.story.duration_s = 0;
  data.story.pressure.add(kReportNan, 1);
  data.meta.started_unix_ms = data.ended_unix_ms = std::numeric_limits<std::int64_t>::max();

  EXPECT_GE(example::report_pages(data), 1U);
}

TEST(ReportPdf, TakesLettersCutInTheMiddle) {
  ReportData data = example::report_data();
  data.record.building.name = "Caf\xC3";  // the first half of an é
  data.record.procedure.title = "tab\there \x01 and \xFF";

  EXPECT_GE(example::report_pages(data), 1U);
}

TEST(ReportPdf, RefusesWhatIsNoRecording) {
  EXPECT_FALSE(report_pdf(std::filesystem::path("/nonexistent.leeward"), ReportOptions{}).has_value());
}

}  // namespace
}  // namespace leeward::daemon
