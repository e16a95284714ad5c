#pragma once
/// One recording, one power cut, one look at what is left.

#include <atomic>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "daemon/recorder/recording_reader.hpp"
#include "daemon/words/compare.hpp"
#include "tests/daemon/recorder/cut_survivors.hpp"
#include "tests/daemon/recorder/cut_vfs.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {

struct CutPlan {
  std::uint64_t seed = 0;
  std::uint64_t ticks = 60;
  /// Between two ticks; zero: as fast as the recorder takes them.
  std::chrono::milliseconds period{0};
  std::chrono::milliseconds last_wait{0};  ///< instead of the period, after the last tick
  /// The cut comes before this change of the disk; 0 or beyond the last one: when all ticks are handed over
  /// or, with `closes`, when the recording is closed.
  long before_change = 0;
  bool closes = false;
  RecorderOptions options;
};

struct CutOutcome {
  std::string fault;               ///< empty: as it must be
  bool is_begun = false;           ///< the recorder had said that it records
  bool is_read = false;            ///< what was left opens as a recording
  std::uint64_t acknowledged = 0;  ///< ticks that the recorder had called safe
  std::uint64_t stations = 0;      ///< of these, ones that ended a station
  std::uint64_t lost = 0;          ///< ticks handed over, called safe or not
  double lost_s = 0;               ///< age of the oldest of them at the cut
  long changes = 0;                ///< of the disk, in the whole recording
};

class CutTrial {
 public:
  explicit CutTrial(CutPlan plan) : plan_(std::move(plan)), random_(plan_.seed), handed_ns_(plan_.ticks) {
    std::filesystem::create_directory(disk_folder());
    std::filesystem::create_directory(left_folder());
    CutVfs::attach(disk_folder(), disk_);
  }
  ~CutTrial() { CutVfs::detach(disk_folder()); }
  CutTrial(const CutTrial&) = delete;
  CutTrial& operator=(const CutTrial&) = delete;

  /// A disk that lies: it calls safe what only waits.
  void forget_syncs() { disk_.forget_syncs(); }

  CutOutcome run() {
    disk_.before_change(plan_.before_change, [this] { cut(); });
    record();
    if (!is_cut_) cut();
    outcome_.changes = disk_.changes();
    look();
    return outcome_;
  }

 private:
  static constexpr std::uint64_t kTicksPerStation = 17;
  static bool ends_station(std::uint64_t seq) { return seq % kTicksPerStation == kTicksPerStation - 1; }
  static double mark_of(std::uint64_t seq) { return 1e-3 * static_cast<double>(seq); }
  static std::int64_t now_ns() {
    return std::chrono::steady_clock::now().time_since_epoch() / std::chrono::nanoseconds(1);
  }
  [[nodiscard]] std::filesystem::path disk_folder() const { return directory_ / "disk"; }
  [[nodiscard]] std::filesystem::path left_folder() const { return directory_ / "left"; }

  void record() {
    auto recorder = Recorder::open(disk_folder() / "a.leeward", synthetic::meta(), {}, plan_.options);
    if (!recorder) {
      outcome_.fault = "cannot record: " + recorder.error().text;
      return;
    }
    recorder_ = recorder->get();
    auto state = std::make_unique<control::EngineState>();
    auto next = std::chrono::steady_clock::now();
    for (std::uint64_t seq = 0; seq < plan_.ticks && !is_cut_; ++seq) {
      hand_over(**recorder, seq, *state);
      next += seq + 1 == plan_.ticks ? plan_.last_wait : plan_.period;
      if (plan_.period.count() > 0) std::this_thread::sleep_until(next);
    }
    if (!plan_.closes && !is_cut_) cut();
    (*recorder)->close(control::RunState::done);
    recorder_ = nullptr;
  }

  void hand_over(Recorder& recorder, std::uint64_t seq, control::EngineState& state) {
    constexpr std::size_t kMostWaiting = 40;
    while (plan_.period.count() == 0 && recorder.backlog() > kMostWaiting && !is_cut_)
      std::this_thread::yield();
    RecordedTick tick = synthetic::tick(seq);
    handed_ns_[seq].store(now_ns());
    handed_ = seq + 1;
    if (!ends_station(seq)) return recorder.append(seq, tick.sample, tick.requests, tick.output);
    tick.output.events.push_back({control::EventKind::station_done, 0, 0, 0, 0});
    state.result.r2 = mark_of(seq);
    recorder.append(seq, tick.sample, tick.requests, tick.output, &state);
  }

  /// What is called safe is asked first: it must be on the disk that is looked at next.
  void cut() {
    if (is_cut_.exchange(true)) return;
    if (const Recorder* recorder = recorder_) {
      outcome_.is_begun = true;
      const RecorderHealth health = recorder->health();
      if (health.last_committed_seq) outcome_.acknowledged = *health.last_committed_seq + 1;
    }
    files_ = disk_.files();
    cut_ns_ = now_ns();
    handed_at_cut_ = handed_;
  }

  void look() {
    CutSurvivors(random_).put(files_, left_folder());
    const auto path = left_folder() / "a.leeward";
    const auto reader = RecordingReader::open(path);
    if (!reader) {
      note(outcome_.is_begun, "does not open: " + reader.error().text);
      count_lost(0);
      return;
    }
    outcome_.is_read = true;
    look_at_integrity(path);
    const auto summary = reader->summary();
    if (!summary) return note(true, "has no summary: " + summary.error().text);
    look_at_ticks(*reader, *summary);
    look_at_stations(*reader);
    count_lost(summary->ticks);
  }

  void look_at_integrity(const std::filesystem::path& path) {
    auto db = Database::open(path, Database::Mode::read_only);
    auto check = db ? db->prepare("PRAGMA integrity_check") : tl::unexpected(db.error());
    const bool is_sound = check && check->step().value_or(false) && check->text(0) == "ok";
    note(!is_sound, "is corrupt");
  }

  void look_at_ticks(const RecordingReader& reader, const RecordingSummary& summary) {
    note(summary.ticks < outcome_.acknowledged, "lost ticks that were called safe");
    note(summary.ticks > 0 && summary.last_seq + 1 != summary.ticks, "has a gap");
    if (summary.ticks == 0) return;
    const std::uint64_t before = summary.last_seq;
    const auto last = before == 0 ? reader.ticks_after(std::nullopt, 1) : reader.ticks_after(before - 1, 1);
    if (!last || last->size() != 1) return note(true, "cannot read its last tick");
    const RecordedTick expected = synthetic::tick(summary.last_seq);
    note(first_difference(expected.sample, last->front().sample).has_value(), "has wrong readings");
  }

  void look_at_stations(const RecordingReader& reader) {
    const auto kept = reader.snapshots();
    if (!kept) return note(true, "cannot read its stations: " + kept.error().text);
    for (std::uint64_t seq = 0; seq < outcome_.acknowledged; ++seq) {
      if (!ends_station(seq)) continue;
      const std::uint64_t number = outcome_.stations++;
      const bool is_there =
          number < kept->size() && (*kept)[number].seq == seq && (*kept)[number].result.r2 == mark_of(seq);
      note(!is_there, "lost a station that was called safe");
    }
  }

  void count_lost(std::uint64_t left) {
    constexpr double kNsPerS = 1e9;
    if (left >= handed_at_cut_) return;
    outcome_.lost = handed_at_cut_ - left;
    outcome_.lost_s = static_cast<double>(cut_ns_ - handed_ns_[left].load()) / kNsPerS;
  }

  void note(bool is_wrong, const std::string& fault) {
    if (is_wrong && outcome_.fault.empty()) outcome_.fault = fault;
  }

  const CutPlan plan_;
  std::mt19937_64 random_;
  synthetic::TemporaryDirectory directory_;
  CutDisk disk_;
  CutOutcome outcome_;
  std::atomic<const Recorder*> recorder_ = nullptr;
  std::atomic<bool> is_cut_ = false;
  std::vector<std::atomic<std::int64_t>> handed_ns_;
  std::atomic<std::uint64_t> handed_ = 0;
  CutDisk::Files files_;
  std::int64_t cut_ns_ = 0;
  std::uint64_t handed_at_cut_ = 0;
};

}  // namespace leeward::daemon
