// A recording whose file was damaged: checked, read, drawn and replayed as far as it goes, or refused in
// words.
#include <cmath>

#include "daemon/recorder/engine_step.hpp"
#include "daemon/recorder/recording_check.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "daemon/recorder/replay.hpp"
#include "daemon/recorder/trace_reader.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/scratch_file.hpp"
#include "tests/fuzz/spoilt_recording.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

void check(const std::filesystem::path& path) {
  const auto found = daemon::check_recording(path);
  if (!found) return require(!found.error().text.empty(), "a refusal has words");
  std::uint64_t readable = 0;
  for (const daemon::TickRange& range : found->ticks) {
    require(range.first_seq <= range.last_seq, "a range of ticks goes forward");
    readable += range.last_seq - range.first_seq + 1;
  }
  require(readable == found->readable(), "what can be read is counted once");
  require(std::isfinite(found->recorded_s), "the recorded time is a number");
}

void read(const std::filesystem::path& path) {
  const auto reader = daemon::RecordingReader::open(path);
  if (!reader) return;
  (void)reader->meta();
  (void)reader->summary();
  (void)reader->last_snapshot();
  std::optional<std::uint64_t> last;
  (void)reader->for_each_tick([&](const daemon::RecordedTick& tick) {
    require(!last || tick.seq > *last, "ticks come in order");
    last = tick.seq;
    return true;
  });
  (void)daemon::replay(*reader, daemon::engine_step_maker());
  (void)daemon::read_trace(path, 20);
}

}  // namespace

void recordings(Bytes bytes) {
  static const ScratchFile file("spoilt.leeward");
  static const std::vector<std::uint8_t> sound = sound_recording(file.folder());
  static std::vector<std::uint8_t> spoilt;
  ByteReader reader(bytes);
  const bool by_cells = reader.flag();
  spoilt = sound;
  if (!by_cells) spoil_bytes(spoilt, reader);
  file.write(spoilt);
  if (by_cells) spoil_cells(file.path(), reader);
  check(file.path());
  read(file.path());
}

}  // namespace leeward::fuzz
