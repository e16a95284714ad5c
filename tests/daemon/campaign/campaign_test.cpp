// The same seeds give the same bytes, however the runs were shared out and interrupted.
#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "daemon/campaign/summary_faces.hpp"
#include "tests/daemon/campaign/small_campaign.hpp"

namespace leeward::daemon {
namespace {

using campaign_test::CampaignFolder;
using campaign_test::expect_same_files;
using campaign_test::run_into;
using campaign_test::small_outline;
using campaign_test::write_into;

TEST(Campaign, GivesTheSameBytesWithAnyNumberOfThreads) {
  const CampaignFolder folder;
  Rows one;
  Rows three;

  ASSERT_TRUE(run_into(small_outline(), {}, 1, one).value_or(false));
  ASSERT_TRUE(run_into(small_outline(), {}, 3, three).value_or(false));
  write_into(folder / "one", small_outline(), one);
  write_into(folder / "three", small_outline(), three);

  EXPECT_EQ(one.size(), 24U);
  expect_same_files(folder / "one", folder / "three");
}

TEST(Campaign, ShardsMergeToTheSameBytes) {
  const CampaignFolder folder;
  Rows whole;
  ASSERT_TRUE(run_into(small_outline(), {}, 2, whole).value_or(false));
  write_into(folder / "whole", small_outline(), whole);
  std::vector<std::string> parts;
  for (int i = 3; i >= 1; --i) {
    const std::string part = folder / ("part" + std::to_string(i));
    auto file = ResultsFile::open(part, small_outline(), {i, 3}, false);
    ASSERT_TRUE(file);
    Rows rows;
    ASSERT_TRUE(run_into(small_outline(), {i, 3}, 2, rows, &*file).value_or(false));
    EXPECT_EQ(rows.size(), 8U);
    parts.push_back(part);
  }

  const auto all = merged(parts);

  ASSERT_TRUE(all) << all.error().text;
  write_into(folder / "merged", all->outline, all->rows);
  expect_same_files(folder / "whole", folder / "merged");
}

TEST(Campaign, AMissingShardAndAForeignOneAreRefused) {
  const CampaignFolder folder;
  for (int i = 1; i <= 2; ++i) {
    Rows rows;
    auto file = ResultsFile::open(folder / ("part" + std::to_string(i)), small_outline(2), {i, 2}, false);
    ASSERT_TRUE(file);
    ASSERT_TRUE(run_into(small_outline(2), {i, 2}, 1, rows, &*file).value_or(false));
  }
  ASSERT_TRUE(ResultsFile::open(folder / "other", small_outline(3), {2, 2}, false));

  EXPECT_EQ(merged({folder / "part1"}).error().code, control::Errc::missing_key);
  EXPECT_EQ(merged({folder / "part1", folder / "other"}).error().code, control::Errc::conflict);
  EXPECT_EQ(merged({folder / "part1", folder / "none"}).error().code, control::Errc::io);
  EXPECT_TRUE(merged({folder / "part2", folder / "part1"}));
}

TEST(Campaign, GoesOnToTheSameBytesFromATornAndAChangedLine) {
  const CampaignFolder folder;
  Rows whole;
  ASSERT_TRUE(run_into(small_outline(), {}, 2, whole).value_or(false));
  write_into(folder / "whole", small_outline(), whole);
  {
    auto file = ResultsFile::open(folder / "cut", small_outline(), {}, false);
    ASSERT_TRUE(file);
    Rows rows;
    ASSERT_TRUE(run_into(small_outline(), {}, 2, rows, &*file, 9).value_or(false));
  }
  std::string text = campaign_test::all_of(folder / "cut/runs.log");
  text[text.find('\n', text.find('\n') + 1) + 30] ^= 1;  // within the second run
  text.resize(text.size() - 40);                         // and the last one is torn
  std::ofstream(folder / "cut/runs.log", std::ios::binary) << text;

  auto file = ResultsFile::open(folder / "cut", small_outline(), {}, true);
  ASSERT_TRUE(file) << file.error().text;
  Rows rows = file->rows();
  EXPECT_EQ(rows.size(), 7U);
  ASSERT_TRUE(run_into(small_outline(), {}, 2, rows, &*file).value_or(false));

  write_into(folder / "cut", small_outline(), rows);
  expect_same_files(folder / "whole", folder / "cut");
  const auto stored = read_results(folder / "cut");
  ASSERT_TRUE(stored);
  EXPECT_EQ(stored->rows.size(), 24U);
}

TEST(Campaign, StopsBetweenRunsAndSaysThatItIsNotDone) {
  const Outline many = small_outline(2000);
  const std::vector<Job> jobs = jobs_of(many);
  std::vector<std::size_t> numbers(jobs.size());
  std::iota(numbers.begin(), numbers.end(), std::size_t{0});
  std::size_t kept = 0;
  std::size_t told = 0;

  const auto all = run_jobs(campaign_test::small_campaign(), jobs, numbers, 2,
                            {[&kept](const RunRow&) -> control::Result<void> {
                               ++kept;
                               return {};
                             },
                             [] { return true; }, [&told](std::size_t done) { told = done; }});

  ASSERT_TRUE(all);
  EXPECT_FALSE(*all);
  EXPECT_LT(kept, jobs.size());
  EXPECT_EQ(told, kept);
}

TEST(Campaign, EndsWithTheFirstRunThatCannotBeKept) {
  const std::vector<Job> jobs = jobs_of(small_outline());
  const std::vector<std::size_t> numbers{0, 1, 2, 3};
  int handed_over = 0;

  const auto fault = run_jobs(campaign_test::small_campaign(), jobs, numbers, 2,
                              {[&handed_over](const RunRow&) -> control::Result<void> {
                                 ++handed_over;
                                 return tl::unexpected(control::Error{control::Errc::io, "disk", "full"});
                               },
                               [] { return false; }, [](std::size_t) {}});

  ASSERT_FALSE(fault);
  EXPECT_EQ(fault.error().field, "disk");
  EXPECT_EQ(handed_over, 1);
}

TEST(ResultsFile, IsNotWrittenOverWithoutBeingAsked) {
  const CampaignFolder folder;
  ASSERT_TRUE(ResultsFile::open(folder / "a", small_outline(), {}, false));

  EXPECT_EQ(ResultsFile::open(folder / "a", small_outline(), {}, false).error().code,
            control::Errc::conflict);
  EXPECT_TRUE(ResultsFile::open(folder / "a", small_outline(), {}, true));
}

TEST(ResultsFile, OfAnotherCampaignShardOrBuildIsNotGoneOnWith) {
  const CampaignFolder folder;
  ASSERT_TRUE(ResultsFile::open(folder / "a", small_outline(), {}, false));
  const Outline other_build = outline_of(campaign_test::small_campaign(), "another build", 6, 40);
  sim::CampaignSpec spec = campaign_test::small_campaign();
  spec.houses.ach50_per_h.high = 20;
  const Outline other_houses = outline_of(spec, "this build", 6, 40);

  for (const Outline& other : {other_build, other_houses, small_outline(7)})
    EXPECT_EQ(ResultsFile::open(folder / "a", other, {}, true).error().code, control::Errc::conflict);
  EXPECT_EQ(ResultsFile::open(folder / "a", small_outline(), {1, 2}, true).error().code,
            control::Errc::conflict);
}

TEST(ResultsFile, BelongsToOneCampaignAtATime) {
  const CampaignFolder folder;
  const auto first = ResultsFile::open(folder / "a", small_outline(), {}, false);
  ASSERT_TRUE(first);

  EXPECT_EQ(ResultsFile::open(folder / "a", small_outline(), {}, true).error().code, control::Errc::busy);
}

TEST(ResultsFile, RefusesAFileThatIsNotOfItsKind) {
  const CampaignFolder folder;
  std::filesystem::create_directories(folder / "a");
  std::ofstream(folder / "a/runs.log") << "my notes\n";

  EXPECT_EQ(ResultsFile::open(folder / "a", small_outline(), {}, true).error().code,
            control::Errc::wrong_type);
  EXPECT_EQ(campaign_test::all_of(folder / "a/runs.log"), "my notes\n");
}

}  // namespace
}  // namespace leeward::daemon
