// How fast the engine and the plant step. Figures, not pass or fail.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <vector>

#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

ClosedLoop holding_50(double wind_m_s) {
  sim::HouseSpec house = calm_house(4, 400, 0.65);
  house.wind.mean_m_s = wind_m_s;
  ClosedLoop loop(house, 1);
  loop.baseline(15);
  loop.hold(50, 400);
  loop.run_for(30);
  return loop;
}

void EngineAndPlant(benchmark::State& state) {
  ClosedLoop loop = holding_50(static_cast<double>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(loop.tick());
  state.counters["times_real_time"] =
      benchmark::Counter(0.1 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
// Less than the longest hold: a day.
BENCHMARK(EngineAndPlant)->Arg(0)->Arg(6)->Iterations(500'000);

void PlantAlone(benchmark::State& state) {
  sim::Plant plant = holding_50(static_cast<double>(state.range(0))).plant();
  for (auto _ : state) {
    plant.step(0.1);
    benchmark::DoNotOptimize(plant.measure());
  }
  state.counters["house_seconds_per_s"] =
      benchmark::Counter(0.1 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(PlantAlone)->Arg(0)->Arg(6);

void WholeRun(benchmark::State& state) {
  double simulated_s = 0;
  for (auto _ : state) {
    const sim::HouseSpec house = calm_house(4, 400, 0.65);
    ClosedLoop loop(house, 1);
    loop.request(start(ten_stations(), 400));
    loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 2000);
    simulated_s += loop.time_s();
  }
  state.counters["times_real_time"] = benchmark::Counter(simulated_s, benchmark::Counter::kIsRate);
}
BENCHMARK(WholeRun);

/// The step alone, each call timed: median and tail.
void EngineStepTail(benchmark::State& state) {
  ClosedLoop loop = holding_50(6);
  const control::Engine& engine = loop.engine();
  control::EngineState s = loop.state();
  control::Sample sample;
  sample.stamp_ns = s.now_ns;
  std::vector<double> ns;
  int k = 0;
  for (auto _ : state) {
    sample.stamp_ns += 100'000'000;
    ++k;
    sample.building_pressure_pa = {s.zero_flow_pa - 50 + std::sin(0.3 * k), sample.stamp_ns,
                                   control::Quality::good};
    sample.fans[0].signal_pa = {40 + std::sin(0.2 * k), sample.stamp_ns, control::Quality::good};
    const auto begin = std::chrono::steady_clock::now();
    benchmark::DoNotOptimize(engine.step(s, sample, {}));
    ns.push_back(std::chrono::duration<double, std::nano>(std::chrono::steady_clock::now() - begin).count());
  }
  std::sort(ns.begin(), ns.end());
  state.counters["median_ns"] = ns[ns.size() / 2];
  state.counters["p99_9_ns"] = ns[ns.size() * 999 / 1000];
}
BENCHMARK(EngineStepTail)->Iterations(16'000);

}  // namespace
}  // namespace leeward::bench

BENCHMARK_MAIN();
