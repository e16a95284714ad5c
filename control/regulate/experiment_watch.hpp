#pragma once
/// What ends an experiment on the loop before its time.

#include <cstdint>

namespace leeward::control {

enum class ExperimentEnd : std::uint8_t {
  running,
  done,
  out_of_bounds,  ///< the pressure left its bounds
  out_of_time,
  bad_reading,  ///< not finite, or missing for longer than kLongestBlind
  aborted       ///< by the caller
};
inline constexpr double kLongestBlind = 0.5;  // s

struct ExperimentBounds {
  double bound_pa = 5;  ///< of the pressure about the centre
  double most_s = 180;
};

struct ExperimentInput {
  double dt_s = 0;
  bool fresh = false;  ///< y_pa is a new reading
  double y_pa = 0;
  bool abort = false;
};

struct ExperimentWatch {
  ExperimentEnd end = ExperimentEnd::running;
  double centre_pa = 0;
  double elapsed_s = 0;
  double blind_s = 0;
};

/// One tick. Ended stays ended.
/// @returns whether the experiment goes on
bool watch_step(const ExperimentBounds& bounds, ExperimentWatch& watch, const ExperimentInput& in) noexcept;

}  // namespace leeward::control
