#include "control/restriction/plan.hpp"

#include <algorithm>
#include <array>

namespace leeward::control {
namespace {

// Decides between equal numbers of changes: over all stations less than a single possibility weighs.
constexpr double kShortfallCost = 0.5 / static_cast<double>(kPossibilities * kMaxStations);

using Costs = std::array<double, kMaxRestrictions>;
/// What is fitted in each possibility, for each restriction that may be planned.
using Instead = std::array<std::array<std::int8_t, kMaxRestrictions>, kPossibilities>;

void find_instead(const ServedTable& t, std::size_t station, Instead& out) {
  for (std::size_t i = 0; i < t.possibilities; ++i)
    for (std::size_t k = 0; k < t.restrictions; ++k)
      out[i][k] = static_cast<std::int8_t>(instead_of(static_cast<int>(k), t.rows[i].suited[station]));
}

double shortfall_cost(const ServedTable& t, std::size_t station, std::size_t restriction) {
  int without = 0;
  for (const Possibility& p : t.possible()) without += p.suited[station] >> restriction & 1U ? 0 : 1;
  return kShortfallCost * without / static_cast<double>(t.possibilities);
}

/// Expected changes between two stations, the first planned with j, the second with k.
double change_cost(const ServedTable& t, const Instead& before, std::size_t j, const Instead& after,
                   std::size_t k) {
  int changes = 0;
  for (std::size_t i = 0; i < t.possibilities; ++i) changes += before[i][j] != after[i][k] ? 1 : 0;
  return static_cast<double>(changes) / static_cast<double>(t.possibilities);
}

struct Search {
  std::array<std::array<std::int8_t, kMaxRestrictions>, kMaxStations> next{};  ///< best restriction after
  Costs first{};  ///< of the best plan that begins with a restriction, the first change included
};

/// From the last station backwards.
Search search(const ServedTable& t, int fitted, double first_change) {
  Search out;
  Instead here{};
  Instead after{};
  Costs cost{};
  for (std::size_t s = t.stations; s-- > 0;) {
    find_instead(t, s, here);
    Costs now{};
    for (std::size_t j = 0; j < t.restrictions; ++j) {
      double best = 0;
      for (std::size_t k = 0; s + 1 < t.stations && k < t.restrictions; ++k) {
        // Staying is considered first, so that equals do not make a change.
        const std::size_t to = (j + k) % t.restrictions;
        const double with = change_cost(t, here, j, after, to) + cost[to];
        if (k > 0 && with >= best) continue;
        best = with;
        out.next[s][j] = static_cast<std::int8_t>(to);
      }
      now[j] = best + shortfall_cost(t, s, j);
    }
    cost = now;
    after = here;
  }
  for (std::size_t k = 0; k < t.restrictions; ++k) {
    int changes = 0;
    for (std::size_t i = 0; i < t.possibilities; ++i) changes += here[i][k] != fitted ? 1 : 0;
    out.first[k] = cost[k] + first_change * changes / static_cast<double>(t.possibilities);
  }
  return out;
}

double served_as_planned(const ServedTable& t, const RestrictionPlan& plan) {
  int all = 0;
  for (const Possibility& p : t.possible()) {
    bool served = true;
    for (std::size_t s = 0; s < t.stations; ++s) served = served && (p.served[s] >> plan.fitted[s] & 1U) != 0;
    all += served ? 1 : 0;
  }
  return static_cast<double>(all) / static_cast<double>(t.possibilities);
}

}  // namespace

int instead_of(int planned, RestrictionSet suited) noexcept {
  if (suited == 0 || (suited >> planned & 1U) != 0) return planned;
  for (int off = 1; off < 16; ++off) {
    // Of two equally near the larger opening: it reaches the pressure, and the signal tells on.
    if (planned >= off && (suited >> (planned - off) & 1U) != 0) return planned - off;
    if ((suited >> (planned + off) & 1U) != 0) return planned + off;
  }
  return planned;
}

int fewest_changes(const Possibility& house, std::size_t stations, RestrictionSet start) noexcept {
  RestrictionSet still = start;
  int changes = 0;
  for (std::size_t s = 0; s < stations; ++s) {
    const auto both = static_cast<RestrictionSet>(still & house.suited[s]);
    changes += both == 0 ? 1 : 0;
    still = both == 0 ? house.suited[s] : both;
  }
  return changes;
}

StationSet unserved_stations(const ServedTable& table) noexcept {
  StationSet unserved = 0;
  for (std::size_t s = 0; s < table.stations; ++s) {
    std::size_t without = 0;
    for (const Possibility& p : table.possible()) without += p.served[s] == 0 ? 1 : 0;
    if (2 * without > table.possibilities) unserved |= StationSet{1} << s;
  }
  return unserved;
}

double serves_p(const ServedTable& table, int restriction, StationSet stations) noexcept {
  int all = 0;
  for (const Possibility& p : table.possible()) {
    bool served = true;
    for (std::size_t s = 0; s < table.stations; ++s)
      if ((stations >> s & 1U) != 0) served = served && (p.served[s] >> restriction & 1U) != 0;
    all += served ? 1 : 0;
  }
  return static_cast<double>(all) / static_cast<double>(std::max<std::size_t>(1, table.possibilities));
}

double suits_first_p(const ServedTable& table, int restriction) noexcept {
  int suited = 0;
  for (const Possibility& p : table.possible()) suited += (p.suited[0] >> restriction & 1U) != 0 ? 1 : 0;
  return static_cast<double>(suited) / static_cast<double>(std::max<std::size_t>(1, table.possibilities));
}

namespace {

/// Changes to be expected of a crew that knew the house.
double known_changes(const ServedTable& t, int fitted, double first_change) {
  const auto now = static_cast<RestrictionSet>(1U << fitted);
  double sum = 0;
  for (const Possibility& p : t.possible())
    sum += std::min<double>(fewest_changes(p, t.stations, now),
                            first_change + fewest_changes(p, t.stations, p.suited[0]));
  return sum / static_cast<double>(t.possibilities);
}

}  // namespace

RestrictionPlan plan_restrictions(const ServedTable& table, int fitted, double first_change) noexcept {
  RestrictionPlan plan;
  if (table.stations == 0 || table.restrictions == 0 || table.possibilities == 0) return plan;
  const Search found = search(table, fitted, first_change);
  const auto start =
      static_cast<std::size_t>(std::clamp(fitted, 0, static_cast<int>(table.restrictions) - 1));
  std::size_t first = start;
  for (std::size_t k = 0; k < table.restrictions; ++k)
    if (found.first[k] < found.first[first]) first = k;
  int before = fitted;
  for (std::size_t s = 0, k = first; s < table.stations; ++s) {
    plan.fitted.push_back(static_cast<int>(k));
    plan.changes += static_cast<int>(k) != before ? 1 : 0;
    before = static_cast<int>(k);
    k = static_cast<std::size_t>(found.next[s][k]);
  }
  plan.expected_changes = found.first[first];
  plan.stay_changes = found.first[start];
  plan.regret_changes = std::max(0.0, plan.expected_changes - known_changes(table, fitted, first_change));
  plan.served_p = served_as_planned(table, plan);
  return plan;
}

}  // namespace leeward::control
