#pragma once
/// The figures of a whole campaign.

#include <string>
#include <vector>

#include "daemon/campaign/measures.hpp"
#include "daemon/campaign/results_file.hpp"

namespace leeward::daemon {

struct StatedFigure {
  Figure figure = Figure::mean;
  double value = 0;
  /// 95 % interval over houses: by bootstrap, of a share by its score; NaN for the largest value.
  double low = 0;
  double high = 0;
};

struct MeasureSummary {
  std::string label;
  std::string unit;
  std::size_t runs = 0;  ///< that count
  std::vector<StatedFigure> figures;
};

/// Runs of one scenario in one wind with one of the settings.
struct GroupSummary {
  Scenario scenario = Scenario::steps;
  double wind_m_s = 0;
  std::size_t tool = 0;
  std::size_t runs = 0;
  std::vector<MeasureSummary> measures;
  std::string fault;  ///< of faults
};

/// Second settings less first, house by house.
struct Comparison {
  Scenario scenario = Scenario::steps;
  double wind_m_s = 0;
  std::string label;
  std::string unit;
  double median_difference = 0;
  double low = 0;  ///< of the median, 95 % bootstrap interval over houses
  double high = 0;
  int lower = 0;  ///< houses where the second settings gave the lower figure
  int higher = 0;
  int equal = 0;
  double p_value = 1;  ///< sign test, two-sided
};

struct WorstRun {
  Job job;
  std::string label;
  std::string unit;
  double value = 0;
  std::string command;  ///< that runs it alone
};

struct Summary {
  Outline outline;
  std::vector<GroupSummary> groups;
  std::vector<Comparison> comparisons;
  std::vector<WorstRun> worst;  ///< ten of each scenario, worst first
};

inline constexpr std::size_t kWorstRuns = 10;

/// @param rows  of every job
[[nodiscard]] Summary summarize(const Outline& outline, const Rows& rows);

/// "calm air", "6 m/s"
[[nodiscard]] std::string wind_text(double wind_m_s);

}  // namespace leeward::daemon
