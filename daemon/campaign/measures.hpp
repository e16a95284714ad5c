#pragma once
/// What is stated of a group of runs: which figure, of which runs, and by which statistics.

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "daemon/campaign/run_job.hpp"

namespace leeward::daemon {

enum class Figure : std::uint8_t { mean, p50, p90, p95, p99, most, share };
[[nodiscard]] const char* figure_name(Figure figure);
/// @param sorted  ascending; a share is the mean of zeros and hundreds
[[nodiscard]] double figure_of(Figure figure, std::span<const double> sorted);

struct Measure {
  std::string label;
  std::string unit;  ///< "" for a plain number, "%" for shares and percentages (values are in percent then)
  std::function<double(const std::vector<double>& figures)> value;  ///< NaN: this run does not count
  std::vector<Figure> statistics;
  bool is_compared = false;  ///< between two settings, pair by pair; lower is better
};

[[nodiscard]] std::vector<Measure> measures_of(const Outline& outline, Scenario scenario);

/// By what the worst runs of a scenario are found; higher is worse.
[[nodiscard]] Measure badness_of(const Outline& outline, Scenario scenario);

}  // namespace leeward::daemon
