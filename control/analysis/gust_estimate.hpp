#pragma once
/// How strong and how slow the gusts are, from zero-flow readings, and how long to average in them.

#include "control/analysis/gust_filter.hpp"
#include "control/analysis/run_record.hpp"

namespace leeward::control {

/// Standard deviation of a mean over T seconds of a process, and how long a mean must be for a given one.
[[nodiscard]] double mean_sd_pa(const GustProcess& gusts, double seconds) noexcept;
/// Range   0 where one value is good enough; infinity where sd_pa is not above 0
[[nodiscard]] double seconds_for_mean_sd(const GustProcess& gusts, double sd_pa) noexcept;

/// The likeliest process behind the blocks of a zero-flow window.
/// Range   fewer than 3 blocks: the samples' standard deviation and the usual time scale
[[nodiscard]] GustProcess gusts_in(const WindowBlocks& blocks, double samples_sd_pa) noexcept;

}  // namespace leeward::control
