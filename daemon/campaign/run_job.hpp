#pragma once

#include <cstddef>
#include <vector>

#include "daemon/campaign/outline.hpp"

namespace leeward::daemon {

/// What came of one run. NaN stands for a figure that there is not.
struct RunRow {
  std::size_t job = 0;
  std::vector<double> figures;   ///< as columns_of() names them
  std::vector<double> response;  ///< of steps: induced pressure, Pa, each half second
};

/// The same job gives the same bits in whatever thread, shard or order.
[[nodiscard]] RunRow run_job(const sim::CampaignSpec& spec, const Job& job, std::size_t number);

}  // namespace leeward::daemon
