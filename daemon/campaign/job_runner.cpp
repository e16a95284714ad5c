#include "daemon/campaign/job_runner.hpp"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

namespace leeward::daemon {

namespace {

constexpr std::chrono::milliseconds kLook{200};

/// What the threads share.
struct Workshop {
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopping{false};
  std::mutex mutex;
  std::condition_variable changed;
  std::size_t done = 0;
  int working = 0;
  std::optional<control::Error> fault;
};

void work(const sim::CampaignSpec& spec, std::span<const Job> jobs, std::span<const std::size_t> numbers,
          const RunnerCalls& calls, Workshop& shop) {
  while (!shop.stopping) {
    const std::size_t i = shop.next++;
    if (i >= numbers.size()) break;
    RunRow row = run_job(spec, jobs[numbers[i]], numbers[i]);
    const std::lock_guard lock(shop.mutex);
    if (shop.fault) break;
    const auto kept = calls.keep(std::move(row));
    if (!kept) {
      shop.fault = kept.error();
      shop.stopping = true;
      break;
    }
    ++shop.done;
  }
  const std::lock_guard lock(shop.mutex);
  --shop.working;
  shop.changed.notify_one();
}

}  // namespace

control::Result<bool> run_jobs(const sim::CampaignSpec& spec, std::span<const Job> jobs,
                               std::span<const std::size_t> numbers, int threads, const RunnerCalls& calls) {
  Workshop shop;
  const int count = std::clamp(threads, 1, static_cast<int>(std::max<std::size_t>(numbers.size(), 1)));
  shop.working = count;
  std::vector<std::thread> workers;
  for (int i = 0; i < count; ++i) workers.emplace_back([&] { work(spec, jobs, numbers, calls, shop); });
  std::unique_lock lock(shop.mutex);
  while (!shop.changed.wait_for(lock, kLook, [&] { return shop.working == 0; })) {
    const std::size_t done = shop.done;
    lock.unlock();
    if (calls.stop()) shop.stopping = true;
    calls.progress(done);
    lock.lock();
  }
  lock.unlock();
  for (std::thread& worker : workers) worker.join();
  calls.progress(shop.done);
  if (shop.fault) return tl::unexpected(*shop.fault);
  return shop.done == numbers.size();
}

}  // namespace leeward::daemon
