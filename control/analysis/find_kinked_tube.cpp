#include <algorithm>
#include <array>
#include <cmath>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/joint_model.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastKinkLag = 3.5;  // s beyond what the house explains
constexpr double kLeastKinkZ = 5;
constexpr std::size_t kLeastBefore = 2;  // moves that show what the building itself does
constexpr double kMostPrompt = 0.25;     // of the moves from there on, without much of a lag
constexpr double kLagU = 0.7;            // s, of one move's lag
constexpr double kLagGusts = 9;          // s, ... of gusts as large as the move
constexpr double kUnknownVolume = 1000;  // m3
constexpr double kMostGive = 4;          // how far a building gives way, in units of its air
constexpr double kKinkPolytropic = 1.2;
constexpr double kKinkPressure = 101325;
constexpr double kKinkExponent = 0.65;

struct MoveSeen {
  std::size_t station = 0;
  double lag_s = 0;
  double house_s = 0;  ///< the most that a building of its volume lags
  double u_s = 0;
};
using MovesSeen = FixedVector<MoveSeen, kMaxStations>;

MovesSeen moves_in(const DirectionRecord& d, double volume_m3) {
  MovesSeen out;
  for (std::size_t i = 0; i < d.stations.size(); ++i) {
    const StationRecord& s = d.stations[i];
    const double induced = along(d.direction, s.pressure_mean_pa) - plain_zero_pa(d);
    if (!s.usable() || !(induced > 1) || !s.signal_in_range) continue;
    const double lag = lag_s(s.move, induced, s.flow_mean_m3_s);
    if (lag == 0) continue;
    const double give_m3_pa =
        kMostGive * (volume_m3 > 0 ? volume_m3 : kUnknownVolume) / (kKinkPolytropic * kKinkPressure);
    const double house = give_m3_pa * induced / (kKinkExponent * s.flow_mean_m3_s);
    const double u = std::hypot(kLagU, kLagGusts * d.before.sd_pa / std::sqrt(s.move.change2));
    out.push_back({i, lag, house, u});
  }
  return out;
}

/// Middle of what `figure` gives for the moves from `begin` up to `end`.
template <class Figure>
double middle(const MovesSeen& moves, std::size_t begin, std::size_t end, Figure&& figure) {
  std::array<double, kMaxStations> values{};
  std::size_t count = 0;
  for (std::size_t i = begin; i < end; ++i) values[count++] = figure(moves[i]);
  if (count == 0) return 0;
  std::sort(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(count));
  return count % 2 == 1 ? values[count / 2] : 0.5 * (values[count / 2 - 1] + values[count / 2]);
}

void find_kink(const DirectionRecord& d, double volume_m3, std::size_t least_moves, int index,
               Findings& out) {
  const MovesSeen moves = moves_in(d, volume_m3);
  double most = 0;
  std::size_t from = 0;
  double lag = 0;
  double its_u = 0;
  for (std::size_t k = 0; k + least_moves <= moves.size(); ++k) {
    // How much of the most that a building may give this one gave before.
    const bool known = k >= kLeastBefore;
    const double share =
        known ? std::clamp(middle(moves, 0, k, [](const auto& m) { return m.lag_s / m.house_s; }), 0.0, 1.0)
              : 1.0;
    const auto beyond = [share](const MoveSeen& m) { return m.lag_s - share * m.house_s; };
    const double excess = middle(moves, k, moves.size(), beyond);
    const double u = middle(moves, k, moves.size(), [](const auto& m) { return m.u_s; }) /
                     std::sqrt(static_cast<double>(moves.size() - k));
    const bool begins = beyond(moves[k]) > kLeastKinkLag;
    const auto prompt = std::count_if(moves.begin() + k, moves.end(),
                                      [&](const MoveSeen& m) { return beyond(m) < 0.5 * kLeastKinkLag; });
    const double most_prompt = kMostPrompt * static_cast<double>(moves.size() - k);
    if (!begins || static_cast<double>(prompt) > most_prompt || excess < kLeastKinkLag ||
        excess < kLeastKinkZ * u || excess / u <= most)
      continue;
    most = excess / u;
    from = k;
    lag = excess;
    its_u = u;
  }
  if (!(most > 0)) return;
  const double sureness = sureness_of(most);
  out.push_back({.kind = FindingKind::tube_kinked,
                 .grade = grade_of(sureness),
                 .sureness = sureness,
                 .direction = index,
                 .station = static_cast<int>(moves[from].station),
                 .from_ns = d.stations[moves[from].station].begin_ns,
                 .size = lag,
                 .size_u = its_u});
}

}  // namespace

void find_kinked_tube(const RunRecord& record, std::size_t least_moves, Findings& out) noexcept {
  for (std::size_t i = 0; i < record.directions.size(); ++i)
    if (const int index = static_cast<int>(i); !has_change(out, index) &&
                                               !has_finding(out, FindingKind::wrong_restriction, index) &&
                                               !has_finding(out, FindingKind::tube_kinked, index) &&
                                               !has_finding(out, FindingKind::tubes_swapped, index))
      find_kink(record.directions[i], record.building.volume_m3, least_moves, index, out);
}

}  // namespace leeward::control
