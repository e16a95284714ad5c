#pragma once
/// Two unknowns learnt one scalar observation at a time: y = a + b x, Bayesian recursive least
/// squares with a random walk as forgetting.

#include <cmath>

namespace leeward::control {

/// Shape  means (a, b) and their covariance, row by row; symmetric.
struct LinearPair {
  double a = 0;
  double b = 0;
  double var_a = 1;
  double cov_ab = 0;
  double var_b = 1;
  bool operator==(const LinearPair&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("a", &LinearPair::a);
    v("b", &LinearPair::b);
    v("var_a", &LinearPair::var_a);
    v("cov_ab", &LinearPair::cov_ab);
    v("var_b", &LinearPair::var_b);
  }
};

/// Variance of a + b x.
[[nodiscard]] double variance_at(const LinearPair& pair, double x) noexcept;

/// Lets the unknowns wander: adds the variances of their random walks over a step.
[[nodiscard]] LinearPair forget(const LinearPair& pair, double add_var_a, double add_var_b) noexcept;

/// One observation y of a + b x with variance r.
/// Range   r > 0; anything not finite leaves the pair as it is
/// Source  recursive least squares, Kalman form
[[nodiscard]] LinearPair observe(const LinearPair& pair, double x, double y, double r) noexcept;

}  // namespace leeward::control
