#include "control/guard/response_watch.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

constexpr double kWait = 3.0;      // s of a likely pressure that is not read
constexpr double kSureWait = 0.7;  // s of a sure one: gauge and zone follow the slowest drive by then
constexpr double kLeast = 2.0;     // Pa
constexpr double kShare = 0.3;     // of what is made
constexpr double kSigmas = 4.0;    // of the unrest that what is made must exceed to be looked at
constexpr double kAnswerSigmas = 3.0;
constexpr double kAnswerTime = 1.0;  // s
// A reading that moves may be in a lull: the mean gap must be so many standard deviations of a mean over so
// long a time. At 4 of the zero-flow reading's, 8 of 2000 clean runs were stopped in lulls of 3 to 10 s. Less
// will do where the fan's signal says the same: no air moves.
constexpr double kLullSigmas = 5.0;
constexpr double kStandSigmas = 4.0;
// A gauge that still feels the building moves with the gusts: within a second by a tenth of their whole size
// and more. One that moves less, by its own noise of 0.1 to 0.15 Pa, and about its own zero, is off, and no
// lull hides what the fan makes.
constexpr double kBlockTime = 1.0;    // s over which the restlessness is taken
constexpr double kQuietNoise = 0.2;   // Pa
constexpr double kQuietShare = 0.03;  // of the gusts
constexpr double kZero = 1.5;         // Pa by which a gauge's zero may be off
constexpr double kDeaf = 0.3;         // Pa by which a gauge that is on moves when the fan blows
constexpr double kDeadLeast = 5.0;    // Pa
constexpr double kDeadSigmas = 2.0;   // of the gusts: the building may be at zero in a lull
constexpr double kDeadWait = 2.5;     // s

bool is_quiet(const ResponseWatch& w, const ResponseSight& in) {
  return w.restless_pa < kQuietNoise + kQuietShare * in.gust_pa;
}

/// Fan and house as two witnesses: where the flow is read wrong they err opposite ways, and a lull that the
/// fan's curve overlooks shows in the flow. Of a drive that is as quick as it is taken for the lower of the
/// two is sure as well. A fan that moves no air asks nothing of the house.
double made_pa(const ResponseSight& in) {
  if (!(in.house_pa > 0) || in.stands) return in.sure_pa;
  return std::min(std::max(in.sure_pa, in.likely_pa), in.house_pa);
}

/// Before a gauge that shows its zero either witness will do; of the house, where the fan may make what it
/// takes: by an open door it can't. A zero-flow pressure that stands with the fan would show as well.
double due_pa(const ResponseSight& in) {
  const double with_fan_pa = std::min(0.0, in.reading_pa - in.induced_pa);
  return in.most_pa >= in.house_pa ? std::max(in.sure_pa, in.house_pa + with_fan_pa) : in.sure_pa;
}

void follow_reading(ResponseWatch& w, const ResponseSight& in) {
  w.block_s += in.dt_s;
  w.block_pa_s += in.dt_s * in.induced_pa;
  w.block_pa2_s += in.dt_s * in.induced_pa * in.induced_pa;
  if (w.block_s < kBlockTime) return;
  const double mean = w.block_pa_s / w.block_s;
  w.restless_pa = std::sqrt(std::max(0.0, w.block_pa2_s / w.block_s - mean * mean));
  w.level_pa = mean;
  if (!w.has_start) w.start_pa = mean;
  w.has_start = true;
  w.block_s = w.block_pa_s = w.block_pa2_s = 0;
}

}  // namespace

void watch_response(ResponseWatch& w, const ResponseSight& in) noexcept {
  if (!in.applies) w = {.answered = w.answered};
  if (!in.applies || !in.fresh) return;
  follow_reading(w, in);
  const bool answers = in.induced_pa > std::max(kLeast, kAnswerSigmas * in.gust_pa);
  w.answering_s = answers ? w.answering_s + in.dt_s : 0;
  if (w.answering_s >= kAnswerTime) w.answered = true;
  const auto unfelt = [&](double pa, double least) { return pa > least && in.induced_pa < kShare * pa; };
  const double least = std::max(kLeast, kSigmas * in.unrest_pa);
  w.made_pa = made_pa(in);
  const bool surely = unfelt(w.made_pa, least);
  w.unfelt_s = surely || unfelt(in.likely_pa, least) ? w.unfelt_s + in.dt_s : 0;
  w.sure_unfelt_s = surely ? w.sure_unfelt_s + in.dt_s : 0;
  w.gap_pa_s = surely ? w.gap_pa_s + in.dt_s * (w.made_pa - in.induced_pa) : 0;
  const bool at_zero = std::abs(in.reading_pa) < kZero;
  const bool dead = at_zero && due_pa(in) > std::max(kDeadLeast, kDeadSigmas * in.gust_pa);
  w.dead_s = dead ? w.dead_s + in.dt_s : 0;
  if (dead) w.made_pa = std::max(w.made_pa, due_pa(in));
  const bool deaf = at_zero && in.blows && !w.answered && std::abs(w.level_pa - w.start_pa) < kDeaf;
  w.deaf_s = deaf ? w.deaf_s + in.dt_s : 0;
  if (deaf) w.made_pa = std::max(w.made_pa, kDeaf);
}

bool is_unfelt(const ResponseWatch& w) noexcept { return w.unfelt_s > 0 || w.dead_s > 0; }

bool is_without_response(const ResponseWatch& w, const ResponseSight& in) noexcept {
  if (is_quiet(w, in) && (w.dead_s >= kDeadWait || w.deaf_s >= kWait)) return true;
  if (w.unfelt_s < kWait || w.sure_unfelt_s < kSureWait) return false;
  const double gap = w.gap_pa_s / w.sure_unfelt_s;
  const double looks = std::max(1.0, w.sure_unfelt_s / (2 * std::max(1.0, in.gust_time_s)));
  return gap * std::sqrt(looks) >= (in.stands ? kStandSigmas : kLullSigmas) * in.gust_pa;
}

}  // namespace leeward::control
