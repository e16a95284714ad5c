#pragma once
/// An invented drive that an experiment has found.

#include <utility>

#include "daemon/config/found_drive.hpp"

namespace leeward::daemon::config_test {

inline FoundDrive found_drive_of(DriveOwner owner) {
  FoundDrive drive{.owner = std::move(owner),
                   .restriction = "bore-500",
                   .found_at_utc = "2026-05-04T10:20:30Z",
                   .run_id = "run-20260504-102030",
                   .quality_frac = 0.8,
                   .misfit = 1.1,
                   .highest_pa = 8.25,
                   .found = {}};
  drive.found = {.known = true,
                 .slew_s = {5.5, 0.1},
                 .lag_s = {0.9, 0.05},
                 .sensor_lag_s = {0.25, 0.05},
                 .signal_lag_s = {0.35, 0.05},
                 .offset_frac = {0.04, 0.01},
                 .scale = {1, 0.1}};
  return drive;
}

}  // namespace leeward::daemon::config_test
