#pragma once
/// The course of a recording in few columns: quick enough for a page that is opened in the middle of a run.

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "control/result.hpp"

namespace leeward::daemon {

struct TracePoint {
  double at_s = 0;  ///< engine time
  double induced_low_pa = 0;
  double induced_high_pa = 0;
  double target_pa = 0;  ///< 0: nothing was wanted
};
struct TracePhase {
  std::string phase;  ///< name
  double from_s = 0;
};
struct TraceMark {
  double at_s = 0;
  std::string kind;  ///< name of an event
  std::string text;
};
struct RecordedTrace {
  double begin_s = 0;              ///< engine time of the first tick
  std::vector<TracePoint> points;  ///< ascending; none where the pressure is not known
  std::vector<TracePhase> phases;
  std::vector<TraceMark> marks;
};

/// @param most_points  each holds the lowest and highest value of its part of the time
/// Induced pressures are signed; before a zero-flow reading they are the building pressure.
/// Errors   as RecordingReader::open, io
[[nodiscard]] control::Result<RecordedTrace> read_trace(const std::filesystem::path& path,
                                                        std::size_t most_points);

}  // namespace leeward::daemon
