#include "daemon/document/report_document.hpp"

#include <array>

#include "daemon/document/check_blocks.hpp"
#include "daemon/document/equipment_blocks.hpp"
#include "daemon/document/front_blocks.hpp"
#include "daemon/document/measurement_blocks.hpp"
#include "daemon/document/result_blocks.hpp"
#include "daemon/words/finding_text.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {

namespace {

using Blocks = std::vector<Block>;

void add(Blocks& out, Blocks&& more) {
  for (Block& block : more) out.push_back(std::move(block));
}

void add_section(Blocks& out, const std::string& heading, Blocks&& blocks) {
  if (blocks.empty()) return;
  out.emplace_back(HeadingBlock{heading});
  add(out, std::move(blocks));
}

/// Deviations first, then what happened, then what to keep in mind. Other findings join here as one more
/// list.
std::vector<Notice> target_notices(const ReportData& data) {
  std::vector<Notice> notices;
  if (!counts_as_result(data)) return notices;
  for (const TargetLine& line : data.targets)
    notices.push_back({!line.judged  ? "Target"
                       : line.passed ? "Target met"
                                     : "Target not met",
                       line.text,
                       line.judged && !line.passed ? NoticeSeverity::caution : NoticeSeverity::plain});
  return notices;
}

std::vector<Notice> finding_notices(const ReportData& data) {
  std::vector<Notice> notices;
  for (const control::Finding& finding : data.result.findings)
    notices.push_back(
        {"Seen, " + sureness_text(finding),
         finding_title(finding) + ". " + finding_text(finding, data.record) + " " + finding_advice(finding),
         NoticeSeverity::caution});
  return notices;
}

Blocks notice_blocks(const ReportData& data) {
  NoticesBlock block;
  for (const std::vector<Notice>& list :
       std::array{target_notices(data), finding_notices(data), deviation_notices(data), event_notices(data),
                  caution_notices(data)})
    block.notices.insert(block.notices.end(), list.begin(), list.end());
  return {Block{std::move(block)}};
}

std::string footer_text(const ReportData& data) {
  return data.meta.run_id + " · SHA-256 " + data.hash.sha256.substr(0, 16) + "… · Leeward " +
         std::string(kVersion);
}

}  // namespace

Document make_document(const ReportData& data, const ReportOptions& options) {
  const DisplayUnits units = display_units(options.units);
  const bool counts = counts_as_result(data);
  Document out;
  out.title =
      "Airtightness test report, " + std::string(data.record.building.name.view()) + ", " + data.meta.run_id;
  out.created = iso_time_text(data.ended_unix_ms > 0 ? data.ended_unix_ms : data.meta.started_unix_ms);
  out.footer = footer_text(data);
  Blocks& blocks = out.blocks;
  blocks.emplace_back(title_block(data));
  blocks.emplace_back(banner_block(data));
  if (counts) add(blocks, headline_blocks(data, units));
  blocks.emplace_back(building_and_test_block(data, options, units));
  if (counts) add_section(blocks, "Result", figure_blocks(data, units));
  add_section(blocks, counts ? "To be known with the result" : "To be known", notice_blocks(data));
  blocks.emplace_back(signature_block(data, options));
  add_section(blocks, "Zero-flow pressures", baseline_blocks(data));
  add_section(blocks, "The run", pressure_blocks(data));
  add_section(blocks, counts ? "Leakage curve and uncertainty" : "Leakage curve, not a valid result",
              curve_blocks(data, units));
  add_section(blocks, "Pressure stations", station_blocks(data, units));
  if (!counts) add_section(blocks, "Figures of a run that does not count", figure_blocks(data, units));
  add_section(blocks, "Checks of validity", check_blocks(data));
  add_section(blocks, "Preparing and restoring the building", preparation_blocks(data, options));
  add_section(blocks, "Equipment and recording", equipment_blocks(data, units));
  return out;
}

}  // namespace leeward::daemon
