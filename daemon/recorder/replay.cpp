#include "daemon/recorder/replay.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

#include "daemon/words/compare.hpp"

namespace leeward::daemon {

namespace {

using control::Errc;
using control::Error;
using control::Result;

constexpr double kNanosecondsPerSecond = 1e9;

/// Largest relative difference of any two numbers; infinite where the shapes differ.
template <class T>
double largest_relative(const T& a, const T& b) {
  double largest = 0;
  if constexpr (std::floating_point<T>) {
    if (a == b || (std::isnan(a) && std::isnan(b))) return 0;
    const double relative = std::abs(a - b) / std::max(std::abs(a), std::abs(b));
    return std::isnan(relative) ? HUGE_VAL : relative;
  } else if constexpr (control::Described<T>) {
    T::describe([&](const char*, auto member) {
      largest = std::max(largest, largest_relative(a.*member, b.*member));
    });
  } else if constexpr (ShapeArray<T> || ShapeList<T>) {
    if (a.size() != b.size()) return HUGE_VAL;
    for (std::size_t i = 0; i < a.size(); ++i) largest = std::max(largest, largest_relative(a[i], b[i]));
  } else if (!(a == b)) {
    return HUGE_VAL;
  }
  return largest;
}

class Replay {
 public:
  Replay(StepFunction step, control::EngineState state, std::vector<RunSnapshot> snapshots)
      : step_(std::move(step)),
        state_(std::make_unique<control::EngineState>(std::move(state))),
        snapshots_(std::move(snapshots)) {}

  /// @returns false where the recording has a hole
  bool take(const RecordedTick& tick) {
    if (last_seq_ && tick.seq != *last_seq_ + 1) return false;
    last_seq_ = tick.seq;
    const control::StepOutput output = step_(*state_, tick.sample, tick.requests);
    ++report_.ticks;
    if (report_.same()) note(tick, first_difference(tick.output, output));
    compare_snapshots(tick);
    return true;
  }
  [[nodiscard]] ReplayReport report() const { return report_; }
  [[nodiscard]] std::optional<std::uint64_t> last_seq() const { return last_seq_; }

 private:
  void note(const RecordedTick& tick, const std::optional<Difference>& difference) {
    if (!difference || !report_.same()) return;
    report_.first_difference =
        ReplayDifference{tick.seq, static_cast<double>(tick.sample.stamp_ns) / kNanosecondsPerSecond,
                         difference->field, difference->first, difference->second};
  }

  void compare_snapshots(const RecordedTick& tick) {
    for (; next_snapshot_ < snapshots_.size() && snapshots_[next_snapshot_].seq <= tick.seq;
         ++next_snapshot_) {
      const RunSnapshot& recorded = snapshots_[next_snapshot_];
      if (recorded.seq != tick.seq) continue;
      const RunSnapshot replayed{tick.seq, state_->run_state, state_->record, state_->result};
      ++report_.snapshots;
      note(tick, first_difference(recorded, replayed));
      report_.largest_result_relative =
          std::max(report_.largest_result_relative, largest_relative(recorded, replayed));
    }
  }

  StepFunction step_;
  std::unique_ptr<control::EngineState> state_;
  std::vector<RunSnapshot> snapshots_;
  std::size_t next_snapshot_ = 0;
  std::optional<std::uint64_t> last_seq_;
  ReplayReport report_;
};

}  // namespace

Result<ReplayReport> replay(const RecordingReader& recording, const StepMaker& maker) {
  if (!recording.missing_columns().empty())
    return tl::unexpected(Error{Errc::conflict, recording.missing_columns().front(),
                                "was not recorded by the version that made it"});
  auto meta = recording.meta();
  if (!meta) return tl::unexpected(meta.error());
  auto state = recording.initial_state();
  if (!state) return tl::unexpected(state.error());
  auto snapshots = recording.snapshots();
  if (!snapshots) return tl::unexpected(snapshots.error());

  Replay run(maker(meta->engine), std::move(*state), std::move(*snapshots));
  bool whole = true;
  const auto read = recording.for_each_tick([&](const RecordedTick& tick) { return whole = run.take(tick); });
  if (!read && !run.last_seq()) return tl::unexpected(read.error());
  if (!whole)
    return tl::unexpected(
        Error{Errc::conflict, "ticks", "has a hole after seq " + std::to_string(run.last_seq().value_or(0))});
  ReplayReport report = run.report();
  if (!read) report.broken_after_seq = run.last_seq();
  return report;
}

}  // namespace leeward::daemon
