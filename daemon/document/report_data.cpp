#include "daemon/document/report_data.hpp"

#include <array>
#include <ctime>

#include "daemon/report/result_json.hpp"

namespace leeward::daemon {

namespace {

// The year 9999: beyond it no format of a date holds.
constexpr std::int64_t kLastUnixMs = 253402300799000;

std::string time_text(std::int64_t unix_ms, const char* format) {
  if (unix_ms <= 0 || unix_ms > kLastUnixMs) return {};
  const auto seconds = static_cast<std::time_t>(unix_ms / 1000);
  std::tm utc{};
  gmtime_r(&seconds, &utc);
  std::array<char, 40> text{};
  const std::size_t size = std::strftime(text.data(), text.size(), format, &utc);
  return {text.data(), size};
}

/// A run that was stopped before its first average left no record: what it was asked for is known all the
/// same.
void take_record(const std::optional<RunSnapshot>& snapshot, ReportData& data) {
  if (data.story.run) {
    data.is_test = true;
    data.is_attended = data.story.run->attended;
    data.presence_s = data.story.run->presence_s;
    data.record.procedure = data.story.run->procedure;
    data.record.building = data.story.run->building;
    data.record.conditions = data.story.run->conditions;
  }
  if (!snapshot) return;
  data.is_test = data.is_test || !snapshot->record.procedure.id.empty();
  if (!data.is_test) return;
  data.record = snapshot->record;
  data.result = snapshot->result;
}

}  // namespace

control::Result<ReportData> read_report_data(const std::filesystem::path& recording) {
  ReportData data;
  auto hash = hash_recording(recording);
  if (!hash) return tl::unexpected(hash.error());
  data.hash = std::move(*hash);
  const auto reader = RecordingReader::open(recording);
  if (!reader) return tl::unexpected(reader.error());
  auto meta = reader->meta();
  if (!meta) return tl::unexpected(meta.error());
  data.meta = std::move(*meta);
  const auto summary = reader->summary();
  if (!summary) return tl::unexpected(summary.error());
  data.state = summary->state;
  data.ended_unix_ms = summary->ended_unix_ms;
  auto story = read_story(*reader);
  if (!story) return tl::unexpected(story.error());
  data.story = std::move(*story);
  if (!summary->ended && data.story.ended_as) data.state = *data.story.ended_as;
  if (data.story.ended_unix_ms > 0) data.ended_unix_ms = data.story.ended_unix_ms;
  const auto snapshot = reader->last_snapshot();
  if (!snapshot) return tl::unexpected(snapshot.error());
  take_record(*snapshot, data);
  if (const auto result = result_json(*reader)) data.targets = target_lines(*result);
  data.equipment = equipment_of(data.meta.rig_text);
  return data;
}

bool counts_as_result(const ReportData& data) {
  // The verdicts are asked too: a report must never call valid what its own table of checks contradicts.
  for (const control::Verdict& verdict : data.result.verdicts) {
    const auto i = static_cast<std::size_t>(verdict.check);
    const bool is_known = verdict.check >= 0 && i < data.record.procedure.checks.size();
    if (is_known && verdict.outcome == control::CheckOutcome::failed &&
        data.record.procedure.checks[i].severity == control::Severity::invalid)
      return false;
  }
  return data.is_test && data.state == control::RunState::done && data.result.computed && data.result.valid;
}

std::string_view direction_title(control::Direction direction) {
  return direction == control::Direction::depressurize ? "Depressurization" : "Pressurization";
}

std::string calendar_text(std::int64_t unix_ms) {
  const std::string text = time_text(unix_ms, "%Y-%m-%d %H:%M UTC");
  return text.empty() ? "not known" : text;
}

std::string iso_time_text(std::int64_t unix_ms) { return time_text(unix_ms, "%Y-%m-%dT%H:%M:%SZ"); }

}  // namespace leeward::daemon
