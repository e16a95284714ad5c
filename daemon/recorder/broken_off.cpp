#include "daemon/recorder/broken_off.hpp"

#include <system_error>

#include "daemon/recorder/recording_reader.hpp"

namespace leeward::daemon {
namespace {

using control::Result;

/// The request that began the run.
Result<control::RunSpec> run_of(const RecordingReader& recording) {
  control::RunSpec run;
  const auto read = recording.for_each_tick([&run](const RecordedTick& tick) {
    for (std::size_t i = 0; i < tick.requests.size() && i < tick.output.refusals.size(); ++i) {
      if (tick.requests[i].kind != control::RequestKind::start_run) continue;
      if (tick.output.refusals[i] != control::Refusal::accepted) continue;
      run = tick.requests[i].run;
      return false;
    }
    return true;
  });
  if (!read) return tl::unexpected(read.error());
  return run;
}

Result<void> read_end(const RecordingReader& recording, BrokenOff& out) {
  const auto summary = recording.summary();
  if (!summary) return tl::unexpected(summary.error());
  if (out.run.state == control::RunState::running) out.run.state = control::RunState::interrupted;
  const auto before = summary->last_seq > 0 ? std::optional(summary->last_seq - 1) : std::nullopt;
  const auto last = recording.ticks_after(before, 1);
  if (!last) return tl::unexpected(last.error());
  if (last->empty()) return {};
  out.run.end_ns = last->back().sample.stamp_ns;
  out.end_unix_ms = last->back().sample.wall_unix_ms;
  return {};
}

}  // namespace

Result<BrokenOff> read_broken_off(const std::filesystem::path& recording) {
  const auto reader = RecordingReader::open(recording);
  if (!reader) return tl::unexpected(reader.error());
  BrokenOff out;
  const auto procedure = reader->meta_text("procedure");
  if (!procedure) return tl::unexpected(procedure.error());
  const auto snapshot = reader->last_snapshot();
  if (!snapshot) return tl::unexpected(snapshot.error());
  // Without an average there is nothing to keep; the procedure tells whether it was a run at all.
  out.run.is_run = *procedure != "hold" && *procedure != "baseline" && *procedure != "rig-learn";
  if (!*snapshot || !out.run.is_run) return out;
  out.run.state = (*snapshot)->run_state;
  out.run.record = (*snapshot)->record;
  auto meta = reader->meta();
  if (!meta) return tl::unexpected(meta.error());
  out.run.rig = std::move(meta->engine);
  auto run = run_of(*reader);
  if (!run) return tl::unexpected(run.error());
  out.run.run = *run;
  if (auto read = read_end(*reader, out); !read) return tl::unexpected(read.error());
  return out;
}

void fold_journal(const std::filesystem::path& recording) {
  std::error_code error;
  const auto journal_bytes = std::filesystem::file_size(recording.string() + "-wal", error);
  if (error || journal_bytes == 0) return;
  auto db = Database::open(recording, Database::Mode::read_write);
  if (db) (void)db->run("PRAGMA wal_checkpoint(TRUNCATE)");
}

}  // namespace leeward::daemon
