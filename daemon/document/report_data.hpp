#pragma once
/// Everything that a report is made of, read from a recording once.

#include <cstdint>
#include <filesystem>

#include "daemon/document/equipment.hpp"
#include "daemon/document/file_hash.hpp"
#include "daemon/document/run_story.hpp"
#include "daemon/document/target_lines.hpp"
#include "daemon/recorder/recording_meta.hpp"

namespace leeward::daemon {

struct ReportData {
  RecordingMeta meta;
  control::RunState state = control::RunState::interrupted;
  std::int64_t ended_unix_ms = 0;  ///< 0: no end was written
  bool is_test = false;            ///< a run of a procedure, not a hold or a baseline by hand
  bool is_attended = true;
  double presence_s = 0;  ///< 0: no sign of life was asked for
  control::RunRecord record;
  control::RunResult result;
  RunStory story;
  Equipment equipment;
  std::vector<TargetLine> targets;
  FileHash hash;
};

/// Reads a finished recording, one that was cut off, or one that is being written.
/// Errors   io and conflict of the reader
[[nodiscard]] control::Result<ReportData> read_report_data(const std::filesystem::path& recording);

/// Whether the figures may be called a result: the run went to its end, and no check voids it.
[[nodiscard]] bool counts_as_result(const ReportData& data);

/// "Depressurization", "Pressurization"
[[nodiscard]] std::string_view direction_title(control::Direction direction);

/// "2026-11-25 14:07 UTC"; "not known" for a time that no calendar holds.
[[nodiscard]] std::string calendar_text(std::int64_t unix_ms);
/// "2026-11-25T14:07:33Z", for the properties of a file.
[[nodiscard]] std::string iso_time_text(std::int64_t unix_ms);

}  // namespace leeward::daemon
