// Which restriction whole runs choose, and how often they change it, on houses and winds drawn afresh;
// against what an exhaustive search with perfect knowledge finds.
//   restriction_campaign PROCEDURE [--runs N] [--seed FIRST] [--wind M_S]... [--fitted N] [--house 1]
// --fitted is what the run finds fitted, 0 the largest; --house 1 prints every house that went amiss.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

#include "control/physics/flow_element.hpp"
#include "daemon/config/load_procedure.hpp"
#include "sim/random_house.hpp"
#include "tests/campaign/on_all_cores.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

constexpr double kMostCommand = 0.98;
constexpr double kLeastSignal = 5.0;  // Pa

struct Options {
  std::string procedure;
  int runs = 500;
  std::uint64_t seed = 700'000;
  std::vector<double> winds;
  int fitted = 0;
  bool each_house = false;
};

/// What perfect knowledge of a house says of the restrictions of its fan.
struct Exhaustion {
  std::vector<unsigned> served;   ///< a station's restrictions: bit k is restriction k
  unsigned one = 0;               ///< serve the whole sequence
  std::vector<double> signal_pa;  ///< with the largest, at each station
};

struct Steady {
  double induced_pa = 0;
  double signal_pa = 0;
};

/// Where a command that is held leads to in still air.
Steady steady_at(sim::Plant plant, double command_frac) {
  plant.set_command(command_frac, true);
  for (int i = 0; i < 3; ++i) plant.step(0.1);  // a command acts from the second step call on
  plant.step(60);
  const sim::Truth truth = plant.truth();
  return {std::abs(truth.induced_pa), truth.fans[0].signal_pa};
}

sim::Plant still_plant(sim::HouseSpec house, int fitted) {
  house.wind.mean_m_s = 0;
  sim::Plant plant(house, 1);
  plant.set_fitted(fitted);
  plant.set_covered(false);
  return plant;
}

Exhaustion exhaust(const sim::HouseSpec& house, const std::vector<double>& stations_pa) {
  Exhaustion all;
  const auto& kinds = house.fans[0].fan.restrictions;
  std::vector<double> reach_pa;
  for (std::size_t k = 0; k < kinds.size(); ++k)
    reach_pa.push_back(steady_at(still_plant(house, static_cast<int>(k)), kMostCommand).induced_pa);
  const sim::Plant largest = still_plant(house, 0);
  all.one = (1U << kinds.size()) - 1;
  for (const double station_pa : stations_pa) {
    double low = 0, high = 1;
    for (int i = 0; i < 14; ++i) {
      const double middle = 0.5 * (low + high);
      (steady_at(largest, middle).induced_pa < station_pa ? low : high) = middle;
    }
    const double signal = steady_at(largest, high).signal_pa;
    const double flow = control::flow_m3_s(kinds[0], signal);
    unsigned served = 0;
    for (std::size_t k = 0; k < kinds.size(); ++k) {
      const double seen_pa = control::signal_pa(kinds[k], flow);
      if (reach_pa[k] >= station_pa && seen_pa >= kLeastSignal && seen_pa <= kinds[k].signal_max_pa)
        served |= 1U << k;
    }
    all.served.push_back(served);
    all.signal_pa.push_back(signal);
    all.one &= served;
  }
  return all;
}

/// Fewest changes over the sequence, from the best first choice. What no restriction serves asks for none.
int fewest_changes(const Exhaustion& all) {
  int changes = 0;
  unsigned still = ~0U;
  for (const unsigned served : all.served) {
    if (served == 0) continue;
    if ((still & served) == 0) ++changes;
    still = (still & served) == 0 ? served : still & served;
  }
  return changes;
}

struct Outcome {
  std::uint64_t seed = 0;
  Exhaustion all;
  int fewest = 0;
  int blind = 0, look = 0, closer = 0, later = 0;  ///< changes by when they were asked for
  int after_look = 0;                              ///< fitted when the look-round was left
  int at_first = 0;                                ///< ... when the first station was begun
  int stations = 0, out_of_range = 0, avoidable = 0, unreachable = 0;
  bool ended = false;
  double minutes = 0;
};

/// Counts the changes up to the end, by phase.
void follow(ClosedLoop& loop, Outcome& out) {
  std::size_t seen = 0;
  bool first_begun = false, look_left = false;
  (void)loop.run_until(
      [&] {
        const control::EngineState& s = loop.state();
        for (; seen < loop.events().size(); ++seen) {
          const control::Event& e = loop.events()[seen];
          if (e.kind == control::EventKind::restriction_fitted)
            ++(first_begun                             ? out.later
               : s.phase == control::Phase::climb      ? out.closer
               : s.phase == control::Phase::look_round ? out.look
                                                       : out.blind);
          if (e.kind == control::EventKind::phase_changed && s.phase == control::Phase::climb) {
            look_left = true;
            out.after_look = s.fans[0].fitted;
          }
          if (e.kind == control::EventKind::station_begun && !first_begun) {
            first_begun = true;
            out.at_first = s.fans[0].fitted;
          }
          out.unreachable += e.kind == control::EventKind::station_unreachable ? 1 : 0;
        }
        return s.phase == control::Phase::result || s.phase == control::Phase::tripped ||
               (s.phase == control::Phase::idle && loop.time_s() > 10);
      },
      7200);
  if (!look_left) out.after_look = loop.state().fans[0].fitted;
}

control::Request asked_of(const sim::HouseSpec& house, const control::ProcedureSpec& procedure,
                          std::uint64_t seed) {
  std::mt19937_64 rng(seed * 2654435761U + 17);
  std::uniform_real_distribution<double> even(-1, 1);
  return start(procedure, house.volume_m3 * (1 + 0.1 * even(rng)), house.indoor_c + 0.5 * even(rng),
               house.outdoor_c + 0.5 * even(rng));
}

Outcome run_of(std::uint64_t seed, double wind_m_s, const control::ProcedureSpec& procedure, int fitted) {
  sim::HouseSpec house = sim::random_house(seed, {});
  house.wind.mean_m_s = wind_m_s;
  house.fans[0].fan.fitted = fitted;
  Outcome out;
  out.seed = seed;
  const std::vector<double> stations_pa(procedure.stations_pa.begin(), procedure.stations_pa.end());
  out.all = exhaust(house, stations_pa);
  out.fewest = fewest_changes(out.all);
  ClosedLoop loop(house, seed ^ 0x9E3779B97F4A7C15U);
  loop.fit_takes_s = 30;
  loop.request(asked_of(house, procedure, seed));
  follow(loop, out);
  out.minutes = loop.time_s() / 60;
  out.ended = loop.state().result.computed && (loop.state().run_state == control::RunState::done ||
                                               loop.state().run_state == control::RunState::invalid);
  for (const control::StationRecord& s : loop.state().record.directions.back().stations) {
    const auto i = static_cast<std::size_t>(std::find(stations_pa.begin(), stations_pa.end(), s.target_pa) -
                                            stations_pa.begin());
    out.stations += 1;
    out.out_of_range += s.signal_in_range ? 0 : 1;
    out.avoidable += !s.signal_in_range && i < stations_pa.size() && out.all.served[i] != 0 ? 1 : 0;
  }
  return out;
}

std::vector<Outcome> all_runs(const Options& o, double wind_m_s, const control::ProcedureSpec& procedure) {
  return on_all_cores<Outcome>(
      o.runs, o.seed, [&](std::uint64_t seed) { return run_of(seed, wind_m_s, procedure, o.fitted); });
}

struct Sums {
  int one = 0, right_after_look = 0, right_at_first = 0, none_serves = 0;
  int blind = 0, look = 0, closer = 0, later = 0, fewest = 0;
  int out_of_range = 0, avoidable = 0, unreachable = 0, lost = 0, incomplete = 0;
  double minutes = 0;
};

Sums sums_of(const std::vector<Outcome>& outcomes) {
  Sums s;
  for (const Outcome& o : outcomes) {
    s.one += o.all.one != 0 ? 1 : 0;
    s.right_after_look += o.all.one >> o.after_look & 1U;
    s.right_at_first += o.all.one >> o.at_first & 1U;
    s.none_serves += std::count(o.all.served.begin(), o.all.served.end(), 0U) > 0 ? 1 : 0;
    s.blind += o.blind;
    s.look += o.look;
    s.closer += o.closer;
    s.later += o.later;
    s.fewest += o.fewest;
    s.out_of_range += o.out_of_range;
    s.avoidable += o.avoidable;
    s.unreachable += o.unreachable;
    s.lost += o.ended ? 0 : 1;
    s.incomplete += o.stations < static_cast<int>(o.all.served.size()) ? 1 : 0;
    s.minutes += o.minutes;
  }
  return s;
}

void print_amiss(const Outcome& o) {
  const bool right = o.all.one == 0 || (o.all.one >> o.at_first & 1U) != 0;
  if (right && o.later <= o.fewest && o.avoidable == 0 && o.ended) return;
  std::printf("  seed %llu: served", static_cast<unsigned long long>(o.seed));
  for (const unsigned served : o.all.served) std::printf(" %x", served);
  std::printf(
      ", look %d first %d, changes %d/%d/%d/%d, fewest %d, out of range %d, %d stations, signal %.3g..%.3g "
      "Pa%s\n",
      o.after_look, o.at_first, o.blind, o.look, o.closer, o.later, o.fewest, o.out_of_range, o.stations,
      o.all.signal_pa.front(), o.all.signal_pa.back(), o.ended ? "" : ", lost");
}

void print_row(double wind_m_s, const std::vector<Outcome>& outcomes) {
  const Sums s = sums_of(outcomes);
  const double count = std::max<double>(1, static_cast<double>(outcomes.size()));
  const double ones = std::max(1, s.one);
  std::printf(
      "%4.0f %5zu %5d %5d | %5.1f %5.1f | %.3f %.3f %.3f %.3f  %.3f | %.3f %+.3f | %d %d %d | %d %d | %.2f\n",
      wind_m_s, outcomes.size(), s.one, s.none_serves, 100 * s.right_after_look / ones,
      100 * s.right_at_first / ones, s.blind / count, s.look / count, s.closer / count, s.later / count,
      (s.blind + s.look + s.closer + s.later) / count, s.fewest / count, (s.later - s.fewest) / count,
      s.out_of_range, s.avoidable, s.unreachable, s.incomplete, s.lost, s.minutes / count);
  std::fflush(stdout);
}

Options options_of(int argc, char** argv) {
  Options o;
  if (argc > 1) o.procedure = argv[1];
  for (int i = 2; i + 1 < argc; i += 2) {
    const std::string key = argv[i];
    if (key == "--runs") o.runs = std::atoi(argv[i + 1]);
    if (key == "--seed") o.seed = std::strtoull(argv[i + 1], nullptr, 10);
    if (key == "--wind") o.winds.push_back(std::atof(argv[i + 1]));
    if (key == "--fitted") o.fitted = std::atoi(argv[i + 1]);
    if (key == "--house") o.each_house = std::atoi(argv[i + 1]) != 0;
  }
  if (o.winds.empty()) o.winds = {0, 6};
  return o;
}

int run(const Options& o) {
  const auto loaded = daemon::load_procedure(o.procedure);
  if (!loaded.value) {
    std::fprintf(stderr, "restriction_campaign PROCEDURE [...]: \"%s\" does not load\n", o.procedure.c_str());
    return 1;
  }
  std::printf("%d runs a wind, house seeds from %llu, restriction %d fitted at the start\n", o.runs,
              static_cast<unsigned long long>(o.seed), o.fitted + 1);
  std::printf(
      "wind houses one-suffices none-serves-a-station | right %%: after look, at first station | changes a "
      "run: "
      "with the uncovering, look, climb, later, all | fewest, later less fewest | stations out of range, of "
      "these avoidable, out of reach | runs with stations missing, lost | minutes\n");
  for (const double wind : o.winds) {
    const std::vector<Outcome> outcomes = all_runs(o, wind, *loaded.value);
    print_row(wind, outcomes);
    if (o.each_house)
      for (const Outcome& outcome : outcomes) print_amiss(outcome);
  }
  return 0;
}

}  // namespace
}  // namespace leeward::bench

int main(int argc, char** argv) { return leeward::bench::run(leeward::bench::options_of(argc, argv)); }
