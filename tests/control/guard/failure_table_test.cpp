#include "control/guard/failure_table.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>

namespace leeward::control {
namespace {

constexpr int kCauses = static_cast<int>(TripCause::no_sign_of_life) + 1;

TEST(FailureTable, HasARowForEveryCauseOfATrip) {
  std::set<TripCause> told;
  for (const FailureRow& row : failure_table()) told.insert(row.trip);

  for (int i = 1; i < kCauses; ++i)
    EXPECT_TRUE(told.contains(static_cast<TripCause>(i))) << "trip cause number " << i;
}

TEST(FailureTable, NamesATripOnlyWhereTheGuardSeesToIt) {
  for (const FailureRow& row : failure_table()) {
    EXPECT_LT(static_cast<int>(row.trip), kCauses) << row.cause;
    EXPECT_EQ(row.trip != TripCause::none, row.watcher == Watcher::guard) << row.cause;
    EXPECT_EQ(row.trip != TripCause::none, row.told.empty()) << row.cause << ": a trip has its own words";
  }
}

TEST(FailureTable, SaysWhereNothingIsDone) {
  for (const FailureRow& row : failure_table())
    if (row.reaction == Reaction::none) {
      EXPECT_EQ(row.watcher, Watcher::nobody) << row.cause;
    }
}

TEST(FailureTable, NamesEachCauseOnceAndHowItIsSeen) {
  std::set<std::string> causes;
  for (const FailureRow& row : failure_table()) {
    EXPECT_TRUE(causes.insert(std::string(row.cause)).second) << row.cause;
    EXPECT_FALSE(row.seen.empty()) << row.cause;
    EXPECT_EQ(row.after.empty(), row.watcher == Watcher::nobody) << row.cause;
  }
}

}  // namespace
}  // namespace leeward::control
