#pragma once
/// A campaign of a few quick runs.

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "daemon/campaign/campaign_files.hpp"
#include "daemon/campaign/job_runner.hpp"

namespace leeward::daemon::campaign_test {

class CampaignFolder {
 public:
  CampaignFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-campaign-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  CampaignFolder(const CampaignFolder&) = delete;
  CampaignFolder& operator=(const CampaignFolder&) = delete;
  ~CampaignFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  [[nodiscard]] std::string operator/(const std::string& name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

inline std::string all_of(const std::string& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

/// Steps and gusts with two settings, short; no floor.
inline sim::CampaignSpec small_campaign() {
  sim::CampaignSpec spec;
  spec.name = "small";
  spec.has_steps = spec.has_gusts = true;
  spec.steps.each_s = 20;
  spec.steps.with_floor = false;
  spec.gusts.count_s = 20;
  spec.gusts.wait_s = 5;
  spec.gust_winds_m_s.push_back(6);
  spec.tools.push_back({.name = "own", .tool = {}});
  spec.tools.push_back({.name = "slow", .tool = {}});
  spec.tools[1].tool.regulator.closed_loop_s = 3;
  return spec;
}

inline Outline small_outline(int runs = 6) {
  Outline outline = outline_of(small_campaign(), "this build", runs, 40);
  outline.population = "small.toml";
  return outline;
}

/// Runs what is open into `rows`.
inline control::Result<bool> run_into(const Outline& outline, Shard shard, int threads, Rows& rows,
                                      ResultsFile* file = nullptr, std::size_t stop_after = 1'000'000) {
  const sim::CampaignSpec spec = small_campaign();
  const std::vector<Job> jobs = jobs_of(outline);
  std::vector<std::size_t> numbers;
  for (std::size_t i = 0; i < jobs.size(); ++i)
    if (shard.holds(outline, jobs[i]) && !rows.contains(i) && numbers.size() < stop_after)
      numbers.push_back(i);
  return run_jobs(spec, jobs, numbers, threads,
                  {[&](RunRow row) -> control::Result<void> {
                     if (file != nullptr)
                       if (auto written = file->append(row); !written) return written;
                     rows[row.job] = std::move(row);
                     return {};
                   },
                   [] { return false; }, [](std::size_t) {}});
}

inline void write_into(const std::string& folder, const Outline& outline, const Rows& rows) {
  ASSERT_TRUE(write_campaign(folder, summarize(outline, rows), rows));
}

inline void expect_same_files(const std::string& a, const std::string& b) {
  for (const char* name : {"summary.json", "runs.csv", "plots.svg"}) {
    const std::string first = all_of(a + "/" + name);
    EXPECT_GT(first.size(), 100U) << name;
    EXPECT_TRUE(first == all_of(b + "/" + name)) << name << " differs";
  }
}

}  // namespace leeward::daemon::campaign_test
