// What becomes of runs in which something goes wrong in a size as it is met: found, stopped, or missed, and
// whether what was missed did harm: the engine on random houses.
//   mishap_campaign [RUNS_A_WIND] [SEED] [MISHAP]
// The last one stages one kind alone and lists each run that was missed.
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "daemon/words/names.hpp"
#include "tests/engine/diagnosis_cases.hpp"

namespace leeward::bench {
namespace {

constexpr std::array<double, 4> kWinds{0, 2, 4, 6};
constexpr std::array kStaged{Mishap::opening,          Mishap::passing_opening, Mishap::seal_off,
                             Mishap::exhaust_fan,      Mishap::drift_step,      Mishap::drift_ramp,
                             Mishap::gauge_drift,      Mishap::water_in_tube,   Mishap::kinked,
                             Mishap::kinked_early,     Mishap::tubes_swapped,   Mishap::tube_off,
                             Mishap::tube_off_early,   Mishap::gauge_stuck,     Mishap::signal_off,
                             Mishap::signal_off_early, Mishap::signal_stuck};

enum class Fate : std::uint8_t {
  left_out,      ///< nothing happened: the run was over before
  found,         ///< by the diagnosis
  stopped,       ///< by a trip whose words name it
  stopped_else,  ///< by another trip, by wind, or without a result
  out_of_reach,  ///< the run said that a station could no longer be reached
  misnamed,      ///< the diagnosis names something else
  silent,
  count
};

struct Judged {
  Fate fate = Fate::left_out;
  bool off = false;      ///< the stated interval of q50 does not hold the truth
  bool matters = false;  ///< stopped, or off by the mishap
};

DiagnosisCase case_of(Mishap mishap, double wind_m_s, int i, std::uint64_t seed) {
  return {.seed = seed,
          .wind_m_s = wind_m_s,
          .mishap = mishap,
          .natural = true,
          .adaptive = i % 2 == 1,
          .direction = static_cast<control::DirectionChoice>(i / 2 % 3)};
}

bool off_truth(const DiagnosisRun& run) {
  const control::Interval& q50 = run.result.q_ref_m3_s;
  return run.ended && q50.known && !(q50.low <= run.q50_m3_s && run.q50_m3_s <= q50.high);
}

/// A seal in its natural size lets through as much as a window ajar: one name's advice is the other's.
bool named(const control::Finding& f, Mishap mishap) {
  const bool opens =
      mishap == Mishap::opening || mishap == Mishap::passing_opening || mishap == Mishap::seal_off;
  return names(f, mishap) || (opens && (names(f, Mishap::opening) || names(f, Mishap::seal_off)));
}

Fate fate_of(const DiagnosisRun& run, Mishap mishap) {
  if (!run.happened) return Fate::left_out;
  for (const control::Finding& f : run.result.findings)
    if (run.ended && named(f, mishap)) return Fate::found;
  if (!run.ended) return names(run.trip.cause, mishap) ? Fate::stopped : Fate::stopped_else;
  if (!run.result.q_ref_m3_s.known) return Fate::stopped_else;
  const bool drains = mishap <= Mishap::exhaust_fan;  // takes more of the fan
  if (run.out_of_reach && drains) return Fate::out_of_reach;
  return run.result.findings.empty() ? Fate::silent : Fate::misnamed;
}

Judged judged(const DiagnosisRun& run, const DiagnosisCase& c) {
  Judged out{fate_of(run, c.mishap)};
  if (out.fate == Fate::left_out) return out;
  out.off = off_truth(run);
  out.matters = !run.ended || !run.result.q_ref_m3_s.known;
  if (!out.off) return out;
  DiagnosisCase clean = c;
  clean.mishap = Mishap::none;
  out.matters = !off_truth(DiagnosisStage(clean).run());
  return out;
}

/// Of one mishap at one wind.
struct Tally {
  std::array<int, static_cast<std::size_t>(Fate::count)> fates{}, of_matter{};
  int runs = 0, matter = 0, harmful = 0, off_anyway = 0;
  [[nodiscard]] int told(const decltype(fates)& counts) const {
    int sum = 0;
    for (const Fate f : {Fate::found, Fate::stopped, Fate::out_of_reach})
      sum += counts[static_cast<std::size_t>(f)];
    return sum;
  }
};

void add(Tally& t, const Judged& j) {
  ++t.fates[static_cast<std::size_t>(j.fate)];
  if (j.fate == Fate::left_out) return;
  ++t.runs;
  t.matter += j.matters;
  t.of_matter[static_cast<std::size_t>(j.fate)] += j.matters;
  const bool missed = j.fate == Fate::silent || j.fate == Fate::misnamed;
  t.harmful += missed && j.matters;
  t.off_anyway += missed && j.off && !j.matters;
}

void list(const DiagnosisRun& run, const DiagnosisCase& c, const Judged& j) {
  const control::Interval& q50 = run.result.q_ref_m3_s;
  std::printf(
      "  seed %llu wind %.0f fate %d matters %d off %d: size %.4g, q50 %.3f stated %.3f (%.3f to %.3f), "
      "at station %d of direction %zu of %zu%s, trip %s; raised:",
      static_cast<unsigned long long>(c.seed), c.wind_m_s, static_cast<int>(j.fate), j.matters, j.off,
      run.event.size, run.q50_m3_s, q50.value, q50.low, q50.high, run.station, run.in_direction,
      run.record.directions.size(), run.out_of_reach ? ", out of reach" : "",
      std::string(daemon::name_of(run.trip.cause)).c_str());
  for (const control::Finding& f : run.result.findings)
    std::printf(" %s (%.3g)", std::string(daemon::name_of(f.kind)).c_str(), f.size);
  std::printf("\n");
}

double percent(int part, int whole) { return whole > 0 ? 100.0 * part / whole : 100; }

void print(Mishap mishap, double wind_m_s, const Tally& t) {
  const auto n = [&](Fate f) { return t.fates[static_cast<std::size_t>(f)]; };
  std::printf("%-19s %d | %4d %5d %5d %4d %5d | %4d %4d %4d | %4d %5d %5.1f %5.1f  (%d left out)\n",
              kMishapNames[static_cast<std::size_t>(mishap)], static_cast<int>(wind_m_s), t.runs,
              n(Fate::found), n(Fate::stopped), n(Fate::stopped_else), n(Fate::out_of_reach),
              n(Fate::silent) + n(Fate::misnamed) - t.harmful, t.harmful, n(Fate::misnamed), t.off_anyway,
              t.matter, percent(t.told(t.of_matter), t.matter), percent(t.told(t.fates), t.runs),
              n(Fate::left_out));
  std::fflush(stdout);
}

int run(int runs_a_wind, std::uint64_t seed, const char* only) {
  std::printf(
      "%d runs a mishap and wind, seeds from %llu\n%-21s | runs found stop else reach | harmless "
      "harmful misnamed | off anyway, matter, told of these, told of all %%\n",
      runs_a_wind, static_cast<unsigned long long>(seed), "mishap, wind");
  for (const Mishap mishap : kStaged) {
    const bool wanted =
        only == nullptr || std::strcmp(only, kMishapNames[static_cast<std::size_t>(mishap)]) == 0;
    for (const double wind : kWinds) {
      Tally tally;
      for (int i = 0; i < runs_a_wind; ++i) {
        const DiagnosisCase c = case_of(mishap, wind, i, seed++);
        if (!wanted) continue;
        const DiagnosisRun staged = DiagnosisStage(c).run();
        const Judged j = judged(staged, c);
        add(tally, j);
        if (only != nullptr && j.fate != Fate::found && j.fate != Fate::left_out) list(staged, c, j);
      }
      if (wanted) print(mishap, wind, tally);
    }
  }
  return 0;
}

}  // namespace
}  // namespace leeward::bench

int main(int argc, char** argv) {
  const int runs = argc > 1 ? std::atoi(argv[1]) : 100;
  const auto seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 2'000'000ULL;
  return leeward::bench::run(runs, seed, argc > 3 ? argv[3] : nullptr);
}
