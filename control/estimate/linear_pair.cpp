#include "control/estimate/linear_pair.hpp"

namespace leeward::control {

double variance_at(const LinearPair& pair, double x) noexcept {
  return pair.var_a + 2 * x * pair.cov_ab + x * x * pair.var_b;
}

LinearPair forget(const LinearPair& pair, double add_var_a, double add_var_b) noexcept {
  LinearPair next = pair;
  next.var_a += add_var_a;
  next.var_b += add_var_b;
  return next;
}

LinearPair observe(const LinearPair& pair, double x, double y, double r) noexcept {
  if (!std::isfinite(x) || !std::isfinite(y) || !(r > 0) || !std::isfinite(r)) return pair;
  const double pa = pair.var_a + x * pair.cov_ab;
  const double pb = pair.cov_ab + x * pair.var_b;
  const double s = pa + x * pb + r;
  const double ka = pa / s;
  const double kb = pb / s;
  const double innovation = y - pair.a - pair.b * x;
  LinearPair next = pair;
  next.a += ka * innovation;
  next.b += kb * innovation;
  next.var_a -= ka * pa;
  next.cov_ab -= ka * pb;
  next.var_b -= kb * pb;
  return next;
}

}  // namespace leeward::control
