#include "control/analysis/gust_filter.hpp"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>
#include <random>
#include <vector>

namespace leeward::control {
namespace {

/// Covariance of the means of a first-order process over two windows that do not overlap, or are the same.
double window_covariance(const GustProcess& g, const GustBlock& a, const GustBlock& b) {
  const double tau = g.time_s;
  const double variance = g.sd_pa * g.sd_pa;
  if (a.begin_s == b.begin_s) {
    const double x = a.length_s / tau;
    return variance * 2 / x * (1 - (1 - std::exp(-x)) / x);
  }
  const GustBlock& first = a.begin_s < b.begin_s ? a : b;
  const GustBlock& later = a.begin_s < b.begin_s ? b : a;
  const double gap = later.begin_s - first.begin_s - first.length_s;
  return variance * std::exp(-gap / tau) * tau * (1 - std::exp(-first.length_s / tau)) / first.length_s *
         tau * (1 - std::exp(-later.length_s / tau)) / later.length_s;
}

std::vector<GustBlock> odd_blocks(std::mt19937& rng) {
  std::uniform_real_distribution<double> even(0.0, 1.0);
  std::normal_distribution<double> gauss;
  std::vector<GustBlock> blocks;
  double at = 3;
  for (int i = 0; i < 30; ++i) {
    GustBlock block{
        .begin_s = at, .length_s = 2 + 8 * even(rng), .white_pa = 0.05 + 0.3 * even(rng), .y = gauss(rng)};
    block.x[0] = 1;
    block.x[3] = gauss(rng);
    block.x[kGustColumns - 1] = at / 100;
    at += block.length_s + (i % 4 == 0 ? 25 * even(rng) : 0);
    blocks.push_back(block);
  }
  return blocks;
}

TEST(GustFilter, EqualsLeastSquaresWithTheWholeCovariance) {
  std::mt19937 rng(5);
  for (const GustProcess& gusts : {GustProcess{1.5, 8}, GustProcess{0.3, 60}, GustProcess{4, 1}}) {
    const std::vector<GustBlock> blocks = odd_blocks(rng);
    GustFilter filter(gusts);
    const auto count = static_cast<Eigen::Index>(blocks.size());
    Eigen::MatrixXd v(count, count);
    Eigen::MatrixXd x(count, kGustColumns);
    Eigen::VectorXd y(count);
    for (Eigen::Index i = 0; i < count; ++i) {
      const GustBlock& a = blocks[static_cast<std::size_t>(i)];
      filter.absorb(a);
      y[i] = a.y;
      x.row(i) = a.x.transpose();
      for (Eigen::Index j = 0; j < count; ++j)
        v(i, j) = window_covariance(gusts, a, blocks[static_cast<std::size_t>(j)]);
      v(i, i) += a.white_pa * a.white_pa;
    }

    const Eigen::LDLT<Eigen::MatrixXd> factor(v);
    const GustSums& sums = filter.sums();
    EXPECT_LT((sums.xx - x.transpose() * factor.solve(x)).norm(), 1e-8 * sums.xx.norm());
    EXPECT_LT((sums.xy - x.transpose() * factor.solve(y)).norm(), 1e-8 * sums.xy.norm());
    EXPECT_NEAR(sums.yy, y.dot(factor.solve(y)), 1e-8 * sums.yy);
    EXPECT_NEAR(sums.ln_variance, factor.vectorD().array().log().sum(), 1e-8 * std::abs(sums.ln_variance));
    EXPECT_EQ(sums.blocks, 30);
  }
}

}  // namespace
}  // namespace leeward::control
