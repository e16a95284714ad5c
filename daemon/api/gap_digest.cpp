#include "daemon/api/gap_digest.hpp"

namespace leeward::daemon {
namespace {
using control::Event;
using control::EventKind;

constexpr std::int64_t kQuietMs = 5000;
constexpr std::array kSummed{EventKind::sample_gap, EventKind::tick_late};
constexpr double kMsPerS = 1000;
}  // namespace

control::Events GapDigest::thin(const control::Events& events, std::int64_t wall_unix_ms) {
  control::Events out;
  for (const Event& event : events) {
    bool is_summed = false;
    for (std::size_t i = 0; i < kSummed.size(); ++i) {
      if (event.kind != kSummed[i]) continue;
      sums_[i].periods += event.a;
      is_summed = true;
    }
    if (!is_summed) out.push_back(event);
  }
  for (std::size_t i = 0; i < kSummed.size(); ++i) {
    Sum& sum = sums_[i];
    const std::int64_t quiet_ms = wall_unix_ms - sum.told_ms;
    const bool is_due = !sum.has_told || quiet_ms >= kQuietMs || quiet_ms < 0;
    if (sum.periods == 0 || !is_due) continue;
    // After a long silence "since the last one" says nothing.
    const bool is_of_a_flood = sum.has_told && quiet_ms >= 0 && quiet_ms < 2 * kQuietMs;
    const double since_s = is_of_a_flood ? static_cast<double>(quiet_ms) / kMsPerS : 0;
    out.push_back({kSummed[i], sum.periods, 0, since_s, 0});
    sum = {0, wall_unix_ms, true};
  }
  return out;
}

}  // namespace leeward::daemon
