#pragma once
/// Runs with seeds in a row, shared out to all cores; the outcomes stand in the order of their seeds.

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <thread>
#include <vector>

namespace leeward::bench {

/// @param run  of a seed; called from several threads at once
template <class Outcome, class Run>
std::vector<Outcome> on_all_cores(int runs, std::uint64_t first_seed, Run run) {
  std::vector<Outcome> outcomes(static_cast<std::size_t>(runs));
  std::atomic<int> next{0};
  std::vector<std::thread> workers;
  for (unsigned t = 0; t < std::max(1U, std::thread::hardware_concurrency()); ++t)
    workers.emplace_back([&] {
      for (int i = next++; i < runs; i = next++)
        outcomes[static_cast<std::size_t>(i)] = run(first_seed + static_cast<std::uint64_t>(i));
    });
  for (std::thread& worker : workers) worker.join();
  return outcomes;
}

}  // namespace leeward::bench
