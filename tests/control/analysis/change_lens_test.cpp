#include "control/analysis/change_lens.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "control/analysis/joint_fit.hpp"
#include "tests/control/analysis/staged_test.hpp"

namespace leeward::control {
namespace {

constexpr ChangePriors kLensPriors{{0.2, 0.05, 3}, 0.1, 0.4, 0.05, 0.15};
constexpr GustProcess kLensGusts{0.3, 12};

ChangeRows lens_rows() {
  staged::Test test{staged::Play{}};
  test.take(Direction::depressurize);
  const DirectionRecord& record = test.record().directions[0];
  JointRows scratch;
  ChangeRows rows;
  make_change_rows({.record = record}, {std::log(staged::kC) + staged::kN * kLnMiddlePressure, staged::kN},
                   scratch, rows);
  return rows;
}

TEST(ChangeLens, GivesTheSameGainAtOnceAsOneByOne) {
  const ChangeRows rows = lens_rows();
  const ChangeLens lens(rows, kLensGusts, kLensPriors);
  for (std::size_t k = 0; k < kChangeKinds; ++k) {
    const auto kind = static_cast<ChangeKind>(k);
    ChangeLens::Lasting all;
    lens.lasting(kind, all);
    for (std::size_t row = rows.first; row < rows.last; ++row) {
      const ChangeGain one = lens.gain({.kind = kind, .from = row, .from_part = all.part[row]});
      EXPECT_NEAR(all.gain[row].ln_ratio, one.ln_ratio, 1e-6);
      EXPECT_NEAR(all.gain[row].size, one.size, 1e-6);
    }
    Change best;
    ChangeGain gain;
    ASSERT_TRUE(lens.best_passing(kind, best, gain));
    EXPECT_NEAR(gain.ln_ratio, lens.gain(best).ln_ratio, 1e-6);
  }
}

/// A change that is there beforehand, as a column of its own, must be worth what the lens says.
TEST(ChangeLens, GainIsTheRatioOfTheLikelihoods) {
  const ChangeRows rows = lens_rows();
  const Change change{.kind = ChangeKind::zero, .from = rows.first + 20};
  const ChangeGain gain = ChangeLens(rows, kLensGusts, kLensPriors).gain(change);
  ChangeRows with = rows;
  const std::size_t column = kChangeColumns - 1;  // a restriction's that is not in use
  for (std::size_t i = change.from; i < with.rows.size(); ++i) with.rows[i].x[column] = 1;
  with.prior_u[column] = kLensPriors.size_u[static_cast<std::size_t>(ChangeKind::zero)];

  const ChangeLens without_lens(rows, kLensGusts, kLensPriors);
  const ChangeLens with_lens(with, kLensGusts, kLensPriors);

  EXPECT_NEAR(with_lens.ln_likelihood() - without_lens.ln_likelihood(), gain.ln_ratio, 1e-6);
  EXPECT_NEAR(with_lens.unknowns()[column], gain.size, 1e-6);
  EXPECT_NEAR(with_lens.unknown_u(static_cast<int>(column)), gain.u, 1e-6);
  EXPECT_NEAR(with_lens.unknowns()[kLnQ], without_lens.unknowns_with(change)[kLnQ], 1e-6);
}

TEST(ChangeRows, StayFewForTheLongestRecord) {
  staged::Test test{staged::Play{}};
  test.take(Direction::depressurize);
  DirectionRecord record = test.record().directions[0];
  for (StationRecord& s : record.stations)
    while (!s.blocks.means.full()) s.blocks.means.push_back(s.blocks.means[0]);
  const StationRecord one = record.stations[0];
  while (!record.stations.full()) record.stations.push_back(one);

  const DirectionRecord few = with_few_blocks(record);

  std::size_t rows = 0;
  for (const StationRecord& s : few.stations) rows += s.blocks.means.size();
  EXPECT_LE(rows, kMostStationRows);
  EXPECT_EQ(few.stations.size(), record.stations.size());
}

}  // namespace
}  // namespace leeward::control
