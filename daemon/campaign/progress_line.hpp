#pragma once

#include <cstddef>
#include <string>

namespace leeward::daemon {

/// "[######--------------] 60 of 200 runs, 12.5 runs/s, 11 s left"
/// @param done     of all, those from an earlier session included
/// @param here     done in this session, for the rate
/// @param total    of all
[[nodiscard]] std::string progress_line(std::size_t done, std::size_t here, std::size_t total,
                                        double elapsed_s);

}  // namespace leeward::daemon
