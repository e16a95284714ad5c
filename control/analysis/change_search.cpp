#include "control/analysis/change_search.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/gust_estimate.hpp"
#include "control/analysis/gust_grid.hpp"

namespace leeward::control {
namespace {

constexpr double kOpeningU = 0.2;      // of the leaks' flow
constexpr double kAmountU = 0.1;       // of the flow at 50 Pa
constexpr double kZeroU = 3;           // Pa
constexpr double kDriftPa = 0.1;       // of the gauge, from the first to the last station
constexpr double kDriftOfGusts = 0.4;  // the mean wind changes slowly too (common practice, no source)
constexpr double kAfterPa = 0.05;
constexpr double kAfterOfStack = 0.05;  // an opening moves the neutral level
constexpr double kAfterOfGusts = 0.15;
constexpr int kScans = 4;              // gusts at which all places are looked at
constexpr double kWorthLooking = 2.0;  // ln, below which no explanation is followed further
constexpr double kFarBehind = 8.0;     // ln, behind the best, likewise
constexpr int kMostMoves = 3;          // of the gusts at each size of steps
constexpr double kNsPerS = 1e9;

ChangePriors priors_at(const JointPoint& at, double stack_pa) {
  const double q50 = std::exp(at.ln_q + at.n * (std::log(50.0) - kLnMiddlePressure));
  return {{kOpeningU, kAmountU * q50, kZeroU},
          kDriftPa,
          kDriftOfGusts,
          std::hypot(kAfterPa, kAfterOfStack * stack_pa),
          kAfterOfGusts};
}

GustProcess gusts_times(const GustProcess& g, double size, double time) {
  return {std::clamp(g.sd_pa * size, kLeastGusts, 50.0), std::clamp(g.time_s * time, 1.0, 300.0)};
}

/// Climbs to the gusts that make `worth` largest: ever smaller steps in size and time scale.
template <class Worth>
GustProcess best_gusts(GustProcess from, double& most, int halvings, Worth&& worth) {
  most = worth(from);
  double step = 2;
  for (int round = 0; round < halvings; ++round, step = std::sqrt(step)) {
    for (int again = 0; again < kMostMoves; ++again) {
      bool moved = false;
      for (const auto& [size, time] :
           {std::pair{step, 1.0}, {1 / step, 1.0}, {1.0, step * step}, {1.0, 1 / (step * step)}}) {
        const GustProcess next = gusts_times(from, size, time);
        const double w = worth(next);
        if (w <= most) continue;
        most = w;
        from = next;
        moved = true;
        break;
      }
      if (!moved) break;
    }
  }
  return from;
}

class Search {
 public:
  Search(const JointModel& model, const JointPoint& at) : model_(model) {
    out_.at = at;
    make_change_rows(model_, at, scratch_, rows_);
    priors_ = priors_at(at, std::abs(model.stack.stack_pa));
  }

  bool ready() const { return rows_.last > rows_.first && rows_.first > 0; }

  void null_gusts(const GustProcess& from, int halvings) {
    out_.gusts = best_gusts(from, ln_null_, halvings, [this](const GustProcess& g) {
      return ChangeLens(rows_, g, priors_, ChangeLens::Use::likelihood).ln_likelihood();
    });
  }
  [[nodiscard]] const GustProcess& gusts() const { return out_.gusts; }

  /// All places at gusts from those before the fan ran to those without a change.
  void scan(const GustProcess& before) {
    for (int i = 0; i < kScans; ++i) {
      const double share = static_cast<double>(i) / (kScans - 1);
      const GustProcess gusts{out_.gusts.sd_pa * std::pow(before.sd_pa / out_.gusts.sd_pa, share),
                              out_.gusts.time_s * std::pow(before.time_s / out_.gusts.time_s, share)};
      const ChangeLens lens(rows_, gusts, priors_);
      for (std::size_t k = 0; k < kChangeKinds; ++k) scan_lasting(lens, gusts, static_cast<ChangeKind>(k));
      if (i == 1) scan_passing(lens, gusts);
    }
  }

  [[nodiscard]] double best() const {
    double most = -1e300;
    for (const ChangeHypothesis& h : out_.hypotheses)
      if (h.looked_at) most = std::max(most, h.ln_evidence);
    return most;
  }

  /// Each explanation at the gusts that suit it best.
  void refine() {
    const double most = best();
    for (ChangeHypothesis& h : out_.hypotheses) {
      if (!h.looked_at || h.ln_evidence < most - kFarBehind) continue;
      // Those that pass share their place, and so their gusts.
      if (h.change.passing && h.change.kind != ChangeKind::opening) continue;
      double value = 0;
      const GustProcess gusts = best_gusts(h.gusts, value, 2, [&](const GustProcess& g) {
        const ChangeLens lens(rows_, g, priors_);
        return lens.ln_likelihood() + lens.gain(h.change).ln_ratio;
      });
      const ChangeLens lens(rows_, gusts, priors_);
      if (h.change.passing)
        scan_passing(lens, gusts);
      else
        scan_lasting(lens, gusts, h.change.kind);
    }
  }

  /// The curve with the best explanation.
  [[nodiscard]] JointPoint corrected() const {
    const ChangeHypothesis* h = &out_.hypotheses[0];
    for (const ChangeHypothesis& other : out_.hypotheses)
      if (other.looked_at && other.ln_evidence > h->ln_evidence) h = &other;
    const ChangeLens lens(rows_, h->gusts, priors_);
    const ChangeColumns unknowns = lens.unknowns_with(h->change);
    return {out_.at.ln_q + std::clamp(unknowns[kLnQ], -0.5, 0.5),
            std::clamp(out_.at.n + std::clamp(unknowns[kN], -0.15, 0.15), 0.4, 1.1)};
  }

  ChangeSearch result() {
    out_.ok = true;
    for (ChangeHypothesis& h : out_.hypotheses) place(h);
    return out_;
  }

 private:
  void scan_lasting(const ChangeLens& lens, const GustProcess& gusts, ChangeKind kind) {
    lens.lasting(kind, lasting_);
    std::size_t at = rows_.first;
    for (std::size_t i = rows_.first; i < rows_.last; ++i)
      if (lasting_.gain[i].ln_ratio > lasting_.gain[at].ln_ratio) at = i;
    const double most = lasting_.gain[at].ln_ratio;
    double sum = 0;
    for (std::size_t i = rows_.first; i < rows_.last; ++i) sum += std::exp(lasting_.gain[i].ln_ratio - most);
    const double places = static_cast<double>(rows_.last - rows_.first);
    take({true,
          {.kind = kind, .from = at, .from_part = lasting_.part[at]},
          lasting_.gain[at],
          gusts,
          lens.ln_likelihood() - ln_null_ + most + std::log(sum / places)});
  }

  /// The place is that of an opening: where something passes, all kinds look much alike.
  void scan_passing(const ChangeLens& lens, const GustProcess& gusts) {
    Change change;
    ChangeGain gain;
    if (lens.best_passing(ChangeKind::opening, change, gain)) take_passing(lens, gusts, change);
  }

  void take_passing(const ChangeLens& lens, const GustProcess& gusts, Change change) {
    const double places = static_cast<double>(rows_.last - rows_.first);
    for (std::size_t k = 0; k < kChangeKinds; ++k) {
      change.kind = static_cast<ChangeKind>(k);
      const ChangeGain gain = lens.gain(change);
      take({true, change, gain, gusts,
            lens.ln_likelihood() - ln_null_ + gain.ln_ratio - std::log(0.5 * places * places)});
    }
  }

  void take(const ChangeHypothesis& h) {
    ChangeHypothesis& old = out_.hypotheses[hypothesis_index(h.change.kind, h.change.passing)];
    if (!old.looked_at || h.ln_evidence > old.ln_evidence) old = h;
  }

  void place(ChangeHypothesis& h) const {
    if (!h.looked_at) return;
    h.station = rows_.rows[h.change.from].station;
    h.from_ns = time_ns(h.change.from, h.change.from_part);
    if (h.change.passing) h.to_ns = time_ns(h.change.to, h.change.to_part);
  }

  [[nodiscard]] std::int64_t time_ns(std::size_t at, double part) const {
    const ChangeRow& row = rows_.rows[at];
    return model_.record.before.begin_ns + std::llround((row.begin_s + part * row.length_s) * kNsPerS);
  }

  JointModel model_;
  JointRows scratch_;
  ChangeRows rows_;
  ChangePriors priors_;
  ChangeLens::Lasting lasting_;
  double ln_null_ = 0;
  ChangeSearch out_;
};

}  // namespace

ChangeSearch search_change(const JointModel& model, JointPoint at) noexcept {
  const GustProcess before = gusts_in(model.record.before.blocks, model.record.before.sd_pa);
  GustProcess gusts = before;
  {
    Search first(model, at);
    if (!first.ready()) return {};
    first.null_gusts(before, 2);
    first.scan(before);
    if (first.best() < kWorthLooking) return first.result();
    at = first.corrected();
    gusts = first.gusts();
  }
  // The model is linear about the curve, and a curve that a change has bent is not the place for that.
  Search second(model, at);
  second.null_gusts(gusts, 3);
  second.scan(before);
  second.refine();
  return second.result();
}

}  // namespace leeward::control
