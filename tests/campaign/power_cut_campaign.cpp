/// Power cuts by the thousand. Two in three recordings go as in the field: 10 readings a second, the
/// recorder's own thread and its own settings, many of them side by side; half of these cuts fall at a random
/// moment, half before a random change of the disk. The rest are written as fast as they go, a part of them
/// long enough for the log to be copied back, and cut before a random change.
///   power_cut_campaign RUNS SEED

#include <cstdio>
#include <cstdlib>

#include "tests/daemon/recorder/cut_trial.hpp"

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;

constexpr std::uint64_t kSideBySide = 150;
constexpr double kMostLostS = 1.0;

enum class Way { moment, paced, quick, closing, large };

Way way_of(std::uint64_t number) {
  switch (number % 30) {
    case 0:
      return Way::large;
    case 1:
    case 2:
    case 3:
    case 4:
      return Way::closing;
    case 5:
    case 6:
    case 7:
    case 8:
    case 9:
      return Way::quick;
    default:
      return number % 2 == 0 ? Way::moment : Way::paced;
  }
}

/// The recording alone; where it is cut is drawn later.
CutPlan plan_of(Way way) {
  CutPlan plan;
  plan.ticks = way == Way::large ? 3000 : 60;
  plan.closes = way == Way::closing;
  if (way == Way::moment || way == Way::paced) {
    plan.period = 100ms;
  } else {
    plan.options.commit_period = 1ms;
  }
  return plan;
}

struct Tally {
  std::mutex mutex;
  std::uint64_t cuts = 0, begun = 0, read = 0, faults = 0, stations = 0, acknowledged = 0;
  double most_lost_s = 0;  ///< at the pace of the field
  std::uint64_t beyond = 0;

  void add(const CutPlan& plan, const CutOutcome& outcome) {
    const std::lock_guard lock(mutex);
    ++cuts;
    begun += outcome.is_begun ? 1 : 0;
    read += outcome.is_read ? 1 : 0;
    stations += outcome.stations;
    acknowledged += outcome.acknowledged;
    if (plan.period.count() > 0) {
      most_lost_s = std::max(most_lost_s, outcome.lost_s);
      beyond += outcome.lost_s > kMostLostS ? 1 : 0;
    }
    if (outcome.fault.empty()) return;
    ++faults;
    std::printf("seed %llu, before change %ld: %s\n", static_cast<unsigned long long>(plan.seed),
                plan.before_change, outcome.fault.c_str());
  }
};

class PowerCuts {
 public:
  PowerCuts(std::uint64_t runs, std::uint64_t seed) : runs_(runs), seed_(seed) {
    for (const Way way : {Way::paced, Way::quick, Way::closing, Way::large})
      changes_[static_cast<std::size_t>(way)] = CutTrial(plan_of(way)).run().changes;
  }

  void run() {
    std::vector<std::thread> threads;
    for (std::uint64_t i = 0; i < std::min(runs_, kSideBySide); ++i)
      threads.emplace_back([this] { paced(); });
    threads.emplace_back([this] { flat_out(); });
    for (std::thread& thread : threads) thread.join();
  }
  [[nodiscard]] const Tally& tally() const { return tally_; }

 private:
  static bool is_paced(Way way) { return way == Way::moment || way == Way::paced; }

  void paced() {
    for (std::uint64_t n = next_paced_++; n < runs_; n = next_paced_++)
      if (is_paced(way_of(n))) trial(n);
  }
  void flat_out() {
    for (std::uint64_t n = 0; n < runs_; ++n)
      if (!is_paced(way_of(n))) trial(n);
  }

  void trial(std::uint64_t number) {
    const Way way = way_of(number);
    std::mt19937_64 random(seed_ * 1'000'003 + number);
    CutPlan plan = plan_of(way);
    plan.seed = random();
    if (way == Way::moment) {
      // The last tick is handed over 100 ms before the cut at most.
      plan.ticks = 1 + random() % plan.ticks;
      plan.last_wait = std::chrono::milliseconds(random() % 100);
    } else {
      plan.before_change = 1 + static_cast<long>(random() % static_cast<std::uint64_t>(changes_of(way)));
    }
    tally_.add(plan, CutTrial(plan).run());
  }
  [[nodiscard]] long changes_of(Way way) const { return changes_[static_cast<std::size_t>(way)]; }

  const std::uint64_t runs_;
  const std::uint64_t seed_;
  std::array<long, 5> changes_{};
  std::atomic<std::uint64_t> next_paced_ = 0;
  Tally tally_;
};

int report(const Tally& tally, double took_s) {
  const auto number = [](std::uint64_t value) { return static_cast<unsigned long long>(value); };
  std::printf("%llu power cuts in %.0f s; %llu after the recording had begun, %llu left a recording\n",
              number(tally.cuts), took_s, number(tally.begun), number(tally.read));
  std::printf(
      "%llu corrupt, incomplete or without something that was called safe; of %llu ticks, %llu stations"
      " called safe\n",
      number(tally.faults), number(tally.acknowledged), number(tally.stations));
  std::printf("at 10 readings a second: most lost %.3f s, more than %.0f s in %llu\n", tally.most_lost_s,
              kMostLostS, number(tally.beyond));
  return tally.faults == 0 && tally.beyond == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

}  // namespace
}  // namespace leeward::daemon

int main(int argc, char** argv) {
  using namespace leeward::daemon;
  if (argc != 3) {
    std::fputs("power_cut_campaign RUNS SEED\n", stderr);
    return EXIT_FAILURE;
  }
  const CutVfs vfs;
  const auto begin = std::chrono::steady_clock::now();
  PowerCuts cuts(std::strtoull(argv[1], nullptr, 10), std::strtoull(argv[2], nullptr, 10));
  cuts.run();
  return report(cuts.tally(),
                std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count());
}
