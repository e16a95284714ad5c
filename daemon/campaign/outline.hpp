#pragma once
/// What a campaign consists of, without its houses: enough to number its runs, to name their figures, and to
/// put shards together without the population file.

#include <cstdint>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "control/result.hpp"
#include "sim/campaign/campaign_spec.hpp"

namespace leeward::daemon {

enum class Scenario : std::uint8_t { steps, gusts, tests, faults };
[[nodiscard]] const char* scenario_name(Scenario scenario);

struct Outline {
  std::string fingerprint;  ///< of all that decides a figure; shards of one campaign have the same
  std::string population;   ///< the file as it was named
  std::string against;      ///< as told on the command line; empty: nothing
  std::string name;
  std::uint64_t seed = 1;  ///< of the first house; the next has the next seed
  int runs = 0;            ///< houses of each scenario and wind
  std::vector<std::string> tools;
  std::vector<double> step_targets_pa;  ///< empty: no steps
  double step_each_s = 0;
  double gust_target_pa = 0;
  std::vector<double> gust_winds_m_s;
  std::vector<double> test_winds_m_s;
  std::vector<std::string> faults;
  bool operator==(const Outline&) const = default;
};

/// @param program  tells builds apart: figures of two builds must not be mixed
[[nodiscard]] Outline outline_of(const sim::CampaignSpec& spec, const std::string& program, int runs,
                                 std::uint64_t seed);

/// One run: a house of a seed in a wind, or with a fault, with one of the settings.
struct Job {
  Scenario scenario = Scenario::steps;
  double wind_m_s = 0;
  std::uint64_t seed = 0;
  std::size_t tool = 0;
  std::size_t fault = 0;  ///< into the outline's faults
};

/// All runs in the order of their numbers; settings vary fastest, then houses.
[[nodiscard]] std::vector<Job> jobs_of(const Outline& outline);

/// A figure of a run.
struct RunColumn {
  std::string name;  ///< with its unit at the end
};
[[nodiscard]] std::vector<RunColumn> columns_of(const Outline& outline, Scenario scenario);

/// "0 to 10 Pa" of the step to a target.
[[nodiscard]] std::string step_label(const Outline& outline, std::size_t target);

[[nodiscard]] nlohmann::json outline_json(const Outline& outline);
[[nodiscard]] control::Result<Outline> outline_from_json(const nlohmann::json& json);

/// What an experiment with the drive adds to a run of steps; none where nothing was learnt.
inline constexpr const char* kDriveColumns[] = {
    "drive_found",     "drive_learnt_s",         "drive_highest_pa",       "drive_slew_error",
    "drive_lag_error", "drive_sensor_lag_error", "drive_signal_lag_error", "drive_dead_band_error_frac"};

}  // namespace leeward::daemon
