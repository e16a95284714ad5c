#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <memory>
#include <thread>

#include <nlohmann/json.hpp>

#include "daemon/campaign/campaign_files.hpp"
#include "daemon/campaign/job_runner.hpp"
#include "daemon/campaign/progress_line.hpp"
#include "daemon/campaign/summary_faces.hpp"
#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/stop_signal.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_population.hpp"

namespace leeward::daemon {

namespace {

using Clock = std::chrono::steady_clock;
using control::Errc;

Failure campaign_failure(const control::Error& error) {
  const std::string text = error.field + ": " + error.text;
  if (error.code == Errc::io) return {exit_io, "io", text};
  if (error.code == Errc::busy) return {exit_busy, "busy", text};
  if (error.code == Errc::conflict) return {exit_usage, "conflict", text};
  return {exit_data, "bad_results", text};
}

/// Shows how far it is: over and over on one line of a terminal, now and then in a file.
class ProgressShow {
 public:
  ProgressShow(std::size_t before, std::size_t total) : before_(before), total_(total) {}
  void operator()(std::size_t here) {
    const Clock::time_point now = Clock::now();
    const std::string line =
        progress_line(before_ + here, here, total_, std::chrono::duration<double>(now - begin_).count());
    const bool is_last = before_ + here == total_;
    if (is_terminal_) {
      std::fprintf(stderr, "\r%s\x1b[K%s", line.c_str(), is_last ? "\n" : "");
      std::fflush(stderr);
    } else if (is_last || now - shown_ >= kPause) {
      print_progress(line);
      shown_ = now;
    }
  }
  void end_line() const {
    if (is_terminal_) std::fputc('\n', stderr);
  }

 private:
  static constexpr std::chrono::seconds kPause{10};
  std::size_t before_;
  std::size_t total_;
  Clock::time_point begin_ = Clock::now();
  Clock::time_point shown_ = begin_;
  bool is_terminal_ = ::isatty(STDERR_FILENO) == 1;
};

struct Prepared {
  sim::CampaignSpec spec;
  Outline outline;
  Shard shard;
};

Attempt<std::unique_ptr<Prepared>> prepared(const CampaignCommand& command) {
  auto loaded = load_population(command.population);
  if (!loaded)
    return tl::unexpected(Failure{exit_data, "bad_population", to_text(loaded.errors),
                                  "leeward check names what is allowed; config/populations holds some"});
  auto out = std::make_unique<Prepared>();
  out->spec = std::move(*loaded.value);
  if (command.is_of_faults && out->spec.faults.kinds.empty())
    return tl::unexpected(Failure{exit_data, "bad_population", command.population + " stages no faults",
                                  "a population of faults has a table [faults]"});
  if (!command.against.empty()) {
    const auto regulator = load_regulator(command.against);
    if (!regulator) return tl::unexpected(Failure{exit_data, "bad_settings", to_text(regulator.errors)});
    while (out->spec.tools.size() > 1) out->spec.tools.pop_back();
    sim::NamedTool other = out->spec.tools[0];
    other.name = "against";
    other.tool.regulator = *regulator.value;
    out->spec.tools.push_back(other);
  }
  const int runs = command.only ? 1 : command.runs;
  const std::string mark = command.out.empty() ? std::string() : program_mark();
  out->outline = outline_of(out->spec, mark, runs, command.only.value_or(command.seed));
  out->outline.population = command.population;
  out->outline.against = command.against;
  out->shard = {command.shard, command.shards};
  return out;
}

int show_finished(const CampaignCommand& command, const CommonOptions& common, const Outline& outline,
                  const Rows& rows) {
  const Summary summary = summarize(outline, rows);
  if (!command.out.empty()) {
    const auto written = write_campaign(command.out, summary, rows);
    if (!written) return report_failure(common.json, campaign_failure(written.error()));
  }
  if (common.json)
    print_json(summary_json(summary));
  else
    print_text(summary_text(summary));
  return exit_done;
}

int show_shard(const CampaignCommand& command, const CommonOptions& common, std::size_t runs) {
  if (common.json)
    print_json(
        {{"shard", command.shard}, {"shards", command.shards}, {"runs", runs}, {"folder", command.out}});
  else
    print_text("shard " + std::to_string(command.shard) + " of " + std::to_string(command.shards) +
               " is done: " + std::to_string(runs) + " runs in " + command.out +
               "; leeward campaign --merge puts all together");
  return exit_done;
}

int show_stopped(const CampaignCommand& command, const CommonOptions& common, std::size_t done,
                 std::size_t wanted) {
  const std::string how_far = std::to_string(done) + " of " + std::to_string(wanted) + " runs are done";
  if (command.out.empty())
    return report_failure(common.json, {exit_failed, "stopped", "stopped: " + how_far + ", and none is kept",
                                        "with --out they are stored, and --resume goes on from there"});
  return report_failure(common.json, {exit_failed, "stopped", "stopped: " + how_far + " and stored",
                                      "the same command with --resume goes on from there"});
}

int run_prepared(const CampaignCommand& command, const CommonOptions& common, const Prepared& campaign) {
  std::optional<ResultsFile> file;
  Rows rows;
  if (!command.out.empty()) {
    auto opened = ResultsFile::open(command.out, campaign.outline, campaign.shard, command.is_resumed);
    if (!opened) return report_failure(common.json, campaign_failure(opened.error()));
    file.emplace(std::move(*opened));
    rows = file->rows();
  }
  const std::vector<Job> jobs = jobs_of(campaign.outline);
  std::vector<std::size_t> open_jobs;
  for (std::size_t i = 0; i < jobs.size(); ++i)
    if (campaign.shard.holds(campaign.outline, jobs[i]) && !rows.contains(i)) open_jobs.push_back(i);
  ProgressShow progress(rows.size(), rows.size() + open_jobs.size());
  const std::size_t wanted = rows.size() + open_jobs.size();
  watch_for_stop_signal();
  const auto keep = [&](RunRow row) -> control::Result<void> {
    if (file)
      if (auto written = file->append(row); !written) return written;
    rows[row.job] = std::move(row);
    return {};
  };
  const auto cores = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  const int threads = command.threads > 0 ? command.threads : cores;
  const auto ran = run_jobs(campaign.spec, jobs, open_jobs, threads,
                            {keep, stop_signal_came, [&progress](std::size_t done) { progress(done); }});
  if (!ran) return report_failure(common.json, campaign_failure(ran.error()));
  if (!*ran) {
    progress.end_line();
    return show_stopped(command, common, rows.size(), wanted);
  }
  if (command.shards > 1) return show_shard(command, common, rows.size());
  return show_finished(command, common, campaign.outline, rows);
}

}  // namespace

int run_command(const CampaignCommand& asked, const CommonOptions& common) {
  CampaignCommand command = asked;
  if (command.is_of_faults && command.population.empty())
    command.population = default_config_directory() + "/populations/faults.toml";
  if (!command.merge.empty()) {
    const auto all = merged(command.merge);
    if (!all) return report_failure(common.json, campaign_failure(all.error()));
    return show_finished(command, common, all->outline, all->rows);
  }
  if (command.population.empty())
    return report_failure(common.json,
                          {exit_usage, "usage", "a population file is needed, or --merge",
                           "as in: leeward campaign config/populations/steps.toml, or --faults"});
  if (command.out.empty() && (command.shards > 1 || command.is_resumed))
    return report_failure(common.json, {exit_usage, "usage", "--shard and --resume need --out",
                                        "give --out the folder of the results"});
  const auto campaign = prepared(command);
  if (!campaign) return report_failure(common.json, campaign.error());
  return run_prepared(command, common, **campaign);
}

}  // namespace leeward::daemon
