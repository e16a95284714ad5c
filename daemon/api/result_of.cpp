#include "daemon/api/result_of.hpp"

#include "daemon/recorder/recording_reader.hpp"
#include "daemon/report/csv.hpp"
#include "daemon/report/result_json.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {

nlohmann::json result_of(const Snapshot& snapshot, const control::EngineConfig& config) {
  const ResultHead head{snapshot.run_id, std::string(kVersion), snapshot.state.run_state,
                        snapshot.started_unix_ms};
  return result_json(head, snapshot.state.record, snapshot.state.result, config);
}

control::Result<nlohmann::json> result_of_recording(const std::filesystem::path& path) {
  const auto reader = RecordingReader::open(path);
  if (!reader) return tl::unexpected(reader.error());
  return result_json(*reader);
}

control::Result<std::string> samples_of_recording(const std::filesystem::path& path) {
  const auto reader = RecordingReader::open(path);
  if (!reader) return tl::unexpected(reader.error());
  std::string csv;
  const auto written = write_samples_csv(*reader, [&csv](std::string_view line) {
    csv += line;
    return true;
  });
  if (!written) return tl::unexpected(written.error());
  return csv;
}

}  // namespace leeward::daemon
