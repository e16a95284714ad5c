// How often each kind of mishap is found, named rightly and raised without a ground: the engine on random
// houses.
//   diagnosis_campaign [RUNS_A_WIND] [SEED]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "daemon/words/names.hpp"
#include "tests/engine/diagnosis_cases.hpp"

namespace leeward::bench {
namespace {

constexpr std::array<double, 4> kWinds{0, 2, 4, 6};
constexpr std::size_t kKinds = static_cast<std::size_t>(control::FindingKind::tube_kinked) + 1;
constexpr int kCleanTimes = 4;  // as many clean runs as of a mishap

struct Tally {
  std::array<int, kWinds.size()> runs{}, found{}, accused{};
  std::array<int, kKinds> raised{};  ///< runs in which a kind was raised
  int left_out = 0;                  ///< not ended, nothing happened, or not readable
};

DiagnosisCase case_of(Mishap mishap, std::size_t wind, int i, std::uint64_t seed) {
  const bool two_needed = mishap == Mishap::flap || mishap == Mishap::uneven_wind;
  return {.seed = seed,
          .wind_m_s = kWinds[wind],
          .mishap = mishap,
          .adaptive = i % 2 == 1,
          .direction =
              two_needed ? control::DirectionChoice::both : static_cast<control::DirectionChoice>(i / 2 % 3)};
}

/// Whether the fan could read the flow at every station. A mishap is staged in other houses too, where nobody
/// could tell it from the gauge's resolution.
bool readable(const DiagnosisRun& run) {
  for (const control::DirectionRecord& d : run.record.directions)
    for (const control::StationRecord& s : d.stations)
      if (!s.signal_in_range) return false;
  return true;
}

/// Processor time of one diagnosis, ms.
double diagnosis_ms(const DiagnosisRun& run) {
  const std::clock_t begin = std::clock();
  const control::Findings found = control::diagnose(run.record, run.result);
  const std::clock_t end = std::clock();
  return found == run.result.findings ? 1e3 * static_cast<double>(end - begin) / CLOCKS_PER_SEC : -1;
}

void print_times(std::vector<double>& ms) {
  std::sort(ms.begin(), ms.end());
  if (!ms.empty())
    std::printf("one diagnosis: median %.2f ms, 99.9th percentile %.2f ms, slowest %.2f ms of %zu\n",
                ms[ms.size() / 2], ms[ms.size() * 999 / 1000], ms.back(), ms.size());
}

void count(const DiagnosisRun& run, Mishap mishap, std::size_t wind, Tally& tally) {
  if (!run.ended || (mishap != Mishap::none && !(run.happened && readable(run)))) {
    ++tally.left_out;
    return;
  }
  ++tally.runs[wind];
  std::array<bool, kKinds> kinds{};
  bool found = false;
  for (const control::Finding& f : run.result.findings) {
    kinds[static_cast<std::size_t>(f.kind)] = true;
    found = found || names(f, mishap);
  }
  tally.found[wind] += found;
  tally.accused[wind] += !run.result.findings.empty();
  for (std::size_t k = 0; k < kKinds; ++k) tally.raised[k] += kinds[k];
}

void print(Mishap mishap, const Tally& t) {
  std::printf("%-20s", kMishapNames[static_cast<std::size_t>(mishap)]);
  for (std::size_t w = 0; w < kWinds.size(); ++w)
    std::printf(" %4d/%-4d", mishap == Mishap::none ? t.accused[w] : t.found[w], t.runs[w]);
  std::printf(" |");
  for (const int n : t.raised) std::printf(" %4d", n);
  std::printf("  (%d left out)\n", t.left_out);
}

int run(int runs_a_wind, std::uint64_t seed) {
  std::printf("%d runs a mishap and wind, 4 times as many clean ones, seeds from %llu\n", runs_a_wind,
              static_cast<unsigned long long>(seed));
  std::printf(
      "wind 0, 2, 4, 6 m/s: runs in which it was found (nothing: accused); then in how many runs of a "
      "row each kind was raised:\n");
  for (std::size_t k = 0; k < kKinds; ++k)
    std::printf("%s%s", k == 0 ? "" : ", ",
                std::string(daemon::name_of(static_cast<control::FindingKind>(k))).c_str());
  std::printf("\n");
  std::vector<double> times_ms;
  for (std::size_t m = 0; m < kSizedMishaps; ++m) {
    const auto mishap = static_cast<Mishap>(m);
    Tally tally;
    const int runs = mishap == Mishap::none ? kCleanTimes * runs_a_wind : runs_a_wind;
    for (std::size_t w = 0; w < kWinds.size(); ++w)
      for (int i = 0; i < runs; ++i) {
        const DiagnosisRun staged = DiagnosisStage(case_of(mishap, w, i, seed++)).run();
        times_ms.push_back(diagnosis_ms(staged));
        count(staged, mishap, w, tally);
      }
    print(mishap, tally);
    std::fflush(stdout);
  }
  print_times(times_ms);
  return 0;
}

}  // namespace
}  // namespace leeward::bench

int main(int argc, char** argv) {
  const int runs = argc > 1 ? std::atoi(argv[1]) : 100;
  const auto seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 1'000'000ULL;
  return leeward::bench::run(runs, seed);
}
