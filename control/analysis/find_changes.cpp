#include <algorithm>
#include <cmath>

#include "control/analysis/change_search.hpp"
#include "control/analysis/density_correction.hpp"
#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/own_fit.hpp"
#include "control/analysis/signal_drift.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

// How much likelier than each explanation nothing is beforehand, in ln. They are set by runs in which nothing
// happened, so that hardly any is accused (tests/campaign/diagnosis_campaign.cpp).
constexpr double kOddsAgainst = 3.3;
constexpr double kOddsAgainstShutting = 3;  // an opening that was there and is shut
constexpr double kOddsAgainstStopping = 4;  // a fan that ran and stops, or one that blows in
constexpr double kOddsAgainstShift = 1;
constexpr double kOddsAgainstPassing = 3;
constexpr double kOddsAgainstPassingFan = 3;  // more: someone in a door is commoner
constexpr double kLeastSureness = 0.97;
constexpr double kLeastOpening = 0.025;  // of the leaks
constexpr double kLeastAmount = 0.02;    // of the flow at 50 Pa
constexpr double kLeastZeroShift = 1.3;  // Pa
/// Between a seal, 3 to 10 % of the leaks, and an opening.
constexpr double kLargestSeal = 0.075;

enum class ChangeGroup : std::uint8_t { opening, fan, shift, count };

ChangeGroup group_of(ChangeKind kind) {
  return kind == ChangeKind::opening  ? ChangeGroup::opening
         : kind == ChangeKind::amount ? ChangeGroup::fan
                                      : ChangeGroup::shift;
}

double ln_prior(const ChangeHypothesis& h, Direction direction) {
  const bool up = h.gain.size > 0;
  double odds = -kOddsAgainst;
  if (h.change.passing) odds -= kOddsAgainstPassing;
  switch (group_of(h.change.kind)) {
    case ChangeGroup::opening:
      return odds - (up ? 0 : kOddsAgainstShutting);
    case ChangeGroup::fan:
      // A fan that draws air out takes work off a fan that does so too.
      if (h.change.passing) odds -= kOddsAgainstPassingFan;
      return odds - (up == (direction == Direction::pressurize) ? 0 : kOddsAgainstStopping);
    default:
      return odds - kOddsAgainstShift - (h.change.passing ? kOddsAgainstPassingFan : 0);
  }
}

struct ChangeChoice {
  const ChangeHypothesis* best = nullptr;
  double nothing = 1;   ///< probabilities
  double sureness = 0;  ///< of the best's group
};

ChangeChoice choose_change(const ChangeSearch& search, Direction direction) {
  std::array<double, kChangeHypotheses> ln{};
  double most = 0;
  for (std::size_t i = 0; i < kChangeHypotheses; ++i) {
    const ChangeHypothesis& h = search.hypotheses[i];
    ln[i] = h.looked_at ? h.ln_evidence + ln_prior(h, direction) : -1e3;
    most = std::max(most, ln[i]);
  }
  double sum = std::exp(-most);
  const double nothing = sum;
  std::array<double, static_cast<std::size_t>(ChangeGroup::count)> groups{};
  for (std::size_t i = 0; i < kChangeHypotheses; ++i) {
    const double weight = std::exp(ln[i] - most);
    sum += weight;
    groups[static_cast<std::size_t>(group_of(search.hypotheses[i].change.kind))] += weight;
  }
  const auto best_group = std::max_element(groups.begin(), groups.end());
  ChangeChoice choice{nullptr, nothing / sum, *best_group / sum};
  double best_ln = -1e9;
  for (std::size_t i = 0; i < kChangeHypotheses; ++i) {
    const ChangeHypothesis& h = search.hypotheses[i];
    if (groups.begin() + static_cast<std::ptrdiff_t>(group_of(h.change.kind)) != best_group ||
        ln[i] < best_ln)
      continue;
    best_ln = ln[i];
    choice.best = &h;
  }
  return choice;
}

bool large_enough(const ChangeHypothesis& h, const JointPoint& at) {
  const double size = std::abs(h.gain.size);
  const double q50 = std::exp(at.ln_q + at.n * (std::log(50.0) - kLnMiddlePressure));
  switch (group_of(h.change.kind)) {
    case ChangeGroup::opening:
      return size >= kLeastOpening;
    case ChangeGroup::fan:
      return size >= kLeastAmount * q50;
    default:
      return size >= kLeastZeroShift && !h.change.passing;
  }
}

FindingKind kind_of_change(const ChangeHypothesis& h) {
  switch (group_of(h.change.kind)) {
    case ChangeGroup::opening:
      return !h.change.passing && h.gain.size > 0 && h.gain.size < kLargestSeal ? FindingKind::seal_off
                                                                                : FindingKind::opening;
    case ChangeGroup::fan:
      return FindingKind::exhaust_fan;
    default:
      return FindingKind::zero_flow_drift;
  }
}

Finding finding_from(const ChangeHypothesis& h, const ChangeChoice& choice, Direction direction, int index) {
  Finding f{.kind = kind_of_change(h),
            .grade = grade_of(choice.sureness),
            .sureness = choice.sureness,
            .direction = index,
            .station = h.station,
            .from_ns = h.from_ns,
            .passing = h.change.passing,
            .to_ns = h.to_ns,
            .size = h.gain.size,
            .size_u = h.gain.u};
  // As people name it: out of the building, and the pressure as it is read.
  if (f.kind == FindingKind::exhaust_fan) f.size *= sign_of(direction);
  if (f.kind == FindingKind::zero_flow_drift) f.size *= sign_of(direction);
  return f;
}

JointPoint point_of(const DirectionResult& d, const SiteAir& site) {
  const double n = d.own.n.value;
  const Air reference = dry_air(celsius(20), pascals_absolute(101325));
  const double c =
      d.own.c_m3_s_pan.value / reference_factor(n, air_into_leaks(d.direction, site), reference, true);
  return {std::log(c) + n * kLnMiddlePressure, n};
}

void find_change(const RunRecord& run, const DirectionResult& result, int index, Findings& out) {
  const DirectionRecord record =
      with_few_blocks(without_signal_drift(run.directions[static_cast<std::size_t>(index)]));
  if (!record.before.taken || record.stations.empty() || !(result.own.c_m3_s_pan.value > 0)) return;
  const SiteAir site = site_air(run.conditions);
  const JointModel model{.record = record,
                         .flow_factor = result.meter_factor * result.leak_factor,
                         .stack = stack_sight(site, run.building),
                         .volume_m3 = run.building.volume_m3,
                         .exponent = {run.procedure.fixed_exponent, run.procedure.exponent_u}};
  const ChangeSearch search = search_change(model, point_of(result, site));
  if (!search.ok) return;
  const ChangeChoice choice = choose_change(search, record.direction);
  if (choice.best == nullptr || choice.nothing > 1 - kLeastSureness) return;
  if (!large_enough(*choice.best, search.at)) return;
  out.push_back(finding_from(*choice.best, choice, record.direction, index));
}

}  // namespace

void find_changes(const RunRecord& record, const RunResult& result, Findings& out) noexcept {
  for (std::size_t i = 0; i < record.directions.size() && i < result.directions.size(); ++i) {
    const int index = static_cast<int>(i);
    // A large one explains most; behind any of the others no flow or pressure can be trusted.
    if (has_change(out, index) || has_finding(out, FindingKind::wrong_restriction, index) ||
        has_finding(out, FindingKind::tube_kinked, index) ||
        has_finding(out, FindingKind::tubes_swapped, index) ||
        has_finding(out, FindingKind::signal_lost, index) ||
        has_finding(out, FindingKind::signal_drift, index))
      continue;
    find_change(record, result.directions[i], index, out);
  }
}

}  // namespace leeward::control
