// All the places where a change may begin or end, at once: what they have to do with the rest is summed up
// backwards, row by row.
#include <algorithm>

#include "control/analysis/change_columns.hpp"
#include "control/analysis/change_lens.hpp"

namespace leeward::control {
namespace {

constexpr std::array<double, 4> kLastingParts{0, 0.25, 0.5, 0.75};
constexpr std::array<double, 2> kPassingParts{0, 0.5};
constexpr double kNoGain = -1e300;

}  // namespace

ChangeLens::Sum::Sum(const ChangeRows& rows, ChangeKind kind) {
  for (std::size_t i = 0; i < rows.rows.size(); ++i)
    effect[i] = rows.rows[i].effect[static_cast<std::size_t>(kind)];
}

void ChangeLens::take_row(std::size_t row, Sum& sum) const noexcept {
  add_scaled(sum.with_x, sum.effect[row], back_x_[row]);
  sum.with_y += sum.effect[row] * back_y_[row];
}

void ChangeLens::set_place(const Sum& sum, std::size_t from, Place& place) const noexcept {
  place.half = half(sum.with_x);
  place.with_y = sum.with_y - column_dot(place.half, half_xy_);
  if (from < rows_.rows.size()) whiten(sum.effect, from, place.white);
  place.itself = together(place, place, from);
}

double ChangeLens::together(const Place& a, const Place& b, std::size_t from) const noexcept {
  double sum = -column_dot(a.half, b.half);
  for (std::size_t i = from; i < rows_.rows.size(); ++i) sum += a.white[i] * b.white[i];
  return sum;
}

/// A place inside a block lies between those at its begin and at the next one's.
ChangeGain ChangeLens::best_part(ChangeKind kind, const Place& here, const Place& next, double both,
                                 bool inside, double& best) const noexcept {
  ChangeGain most{.ln_ratio = kNoGain};
  for (const double part : kLastingParts) {
    if (part > 0 && !inside) break;
    const double stays = 1 - part;
    const ChangeGain g =
        gain_of(kind, stays * here.with_y + part * next.with_y,
                stays * stays * here.itself + 2 * stays * part * both + part * part * next.itself);
    if (g.ln_ratio <= most.ln_ratio) continue;
    most = g;
    best = part;
  }
  return most;
}

void ChangeLens::lasting(ChangeKind kind, Lasting& out) const noexcept {
  Sum sum(rows_, kind);
  for (std::size_t i = rows_.last; i < rows_.rows.size(); ++i) take_row(i, sum);
  std::array<Place, 2> places;
  set_place(sum, rows_.last, places[rows_.last % 2]);
  for (std::size_t from = rows_.last; from-- > rows_.first;) {
    Place& here = places[from % 2];
    const Place& next = places[(from + 1) % 2];
    take_row(from, sum);
    set_place(sum, from, here);
    // Inside the first or last block a place and a size are the same to what is read.
    const bool inside = from > rows_.first && from + 1 < rows_.last;
    out.gain[from] = best_part(kind, here, next, together(here, next, from + 1), inside, out.part[from]);
  }
}

void ChangeLens::set_places(ChangeKind kind, Places& p) const noexcept {
  const std::size_t first = rows_.first;
  Sum sum(rows_, kind);
  for (std::size_t i = rows_.rows.size(); i-- > first;) {
    take_row(i, sum);
    if (i >= rows_.last) continue;
    const std::size_t at = i - first;
    set_place(sum, i, p.at[at]);
    p.both[at][at] = p.at[at].itself;
    for (std::size_t other = at + 1; other < rows_.last - first; ++other)
      p.both[at][other] = together(p.at[at], p.at[other], first + other);
  }
}

/// What a change that begins at or inside row a has to do with itself, and with one that begins in row b > a.
struct ChangeLens::Start {
  const Places& p;
  std::size_t a;
  double part;
  [[nodiscard]] double with_y() const { return (1 - part) * p.at[a].with_y + part * p.at[a + 1].with_y; }
  [[nodiscard]] double itself() const {
    return (1 - part) * (1 - part) * p.both[a][a] + 2 * (1 - part) * part * p.both[a][a + 1] +
           part * part * p.both[a + 1][a + 1];
  }
  [[nodiscard]] double with(std::size_t b) const {
    return (1 - part) * p.both[a][b] + part * p.both[a + 1][b];
  }
};

bool ChangeLens::best_passing(ChangeKind kind, Change& best, ChangeGain& gain) const noexcept {
  const std::size_t first = rows_.first;
  const std::size_t places = rows_.last - first;
  if (places < 4) return false;
  Places p;
  set_places(kind, p);
  gain.ln_ratio = kNoGain;
  // From the first row on it would be one that lasts, and ended before.
  for (std::size_t a = 1; a + 2 < places; ++a) {
    for (const double from : kPassingParts) {
      const Start start{p, a, from};
      const double start_y = start.with_y();
      const double start_itself = start.itself();
      for (std::size_t b = a + 1; b + 1 < places; ++b) {
        for (const double to : kPassingParts) {
          const Start end{p, b, to};
          const double y = start_y - end.with_y();
          const double both = (1 - to) * start.with(b) + to * start.with(b + 1);
          const double itself = start_itself + end.itself() - 2 * both;
          if (0.5 * y * y <= gain.ln_ratio * std::max(itself, 0.0)) continue;  // it can't be the best
          const ChangeGain g = gain_of(kind, y, itself);
          if (g.ln_ratio <= gain.ln_ratio) continue;
          gain = g;
          best = {kind, first + a, from, true, first + b, to};
        }
      }
    }
  }
  return true;
}

}  // namespace leeward::control
