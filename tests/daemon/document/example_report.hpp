#pragma once
/// A report's data without a recording; the run is the one of tests/daemon/report, invented.

#include <cmath>
#include <string>

#include "daemon/document/report_data.hpp"
#include "daemon/document/report_document.hpp"
#include "daemon/document/report_pdf.hpp"
#include "daemon/document/surfaces.hpp"
#include "tests/daemon/report/example_run.hpp"

namespace leeward::daemon::example {

inline void add_ticks(RunStory& story) {
  story.ticks = 6000;
  story.duration_s = 600;
  for (int i = 0; i < 6000; ++i) story.pressure.add(i * 0.1, -25 + 25 * std::cos(i * 0.002));
  story.phases = {{control::Phase::prepare, 0, 60},
                  {control::Phase::baseline, 60, 120},
                  {control::Phase::stations, 120, 600}};
}

inline ReportData report_data(int directions = 1) {
  ReportData data;
  data.meta.run_id = "run-20261125-140733";
  data.meta.software_version = "0.1.0";
  data.meta.started_unix_ms = 1795615653000;
  data.meta.engine = engine();
  data.state = control::RunState::done;
  data.ended_unix_ms = data.meta.started_unix_ms + 600000;
  data.is_test = true;
  data.record = record(directions);
  data.record.procedure.standard = "Invented standard 7:2031";
  data.result = result(directions);
  for (auto& verdict : data.result.verdicts)
    if (verdict.outcome == control::CheckOutcome::failed) verdict.outcome = control::CheckOutcome::passed;
  for (auto& d : data.record.directions) d.stations.push_back(d.stations[0]);
  data.story.preparation = {{"Windows closed.", "done"},
                            {"Kitchen hood sealed with tape.", "not applicable"}};
  data.story.restore = {{"Seals out.", "done"}};
  data.hash.sha256 = std::string(64, 'a');
  add_ticks(data.story);
  return data;
}

inline std::string report_text(const ReportData& data, const ReportOptions& options = {}) {
  return document_text(make_document(data, options));
}

inline std::size_t report_pages(const ReportData& data, const ReportOptions& options = {}) {
  const auto file = document_pdf(make_document(data, options), data, options);
  return file && file->bytes.starts_with("%PDF-") ? file->pages : 0;
}

}  // namespace leeward::daemon::example
