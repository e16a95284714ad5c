#pragma once

#include <chrono>
#include <functional>
#include <span>

#include "control/result.hpp"
#include "daemon/campaign/run_job.hpp"

namespace leeward::daemon {

struct RunnerCalls {
  /// Takes each row as it comes, one at a time, from any thread.
  /// Errors   the first one ends everything
  std::function<control::Result<void>(RunRow)> keep;
  /// Asked again and again whether to stop: what is being run is finished, nothing more is begun.
  std::function<bool()> stop;
  /// Told how many of these runs are done, a few times a second, from the calling thread.
  std::function<void(std::size_t done)> progress;
};

/// Runs jobs on a number of threads, and returns when all are done or it was stopped.
/// @param numbers  of the jobs to run, into `jobs`
/// @returns whether all were run
[[nodiscard]] control::Result<bool> run_jobs(const sim::CampaignSpec& spec, std::span<const Job> jobs,
                                             std::span<const std::size_t> numbers, int threads,
                                             const RunnerCalls& calls);

}  // namespace leeward::daemon
