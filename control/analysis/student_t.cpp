#include "control/analysis/student_t.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <limits>

namespace leeward::control {

namespace {
namespace policies = boost::math::policies;
// NaN and infinity instead of exceptions: this runs beside a spinning fan.
using Quiet =
    policies::policy<policies::domain_error<policies::ignore_error>,
                     policies::pole_error<policies::ignore_error>,
                     policies::overflow_error<policies::ignore_error>,
                     policies::evaluation_error<policies::ignore_error>, policies::promote_double<false>>;
constexpr double kNormalFrom = 1e6;  ///< degrees of freedom; the two laws differ by 3e-6 there
}  // namespace

double student_t_two_sided(double confidence, double degrees_of_freedom) noexcept {
  if (!(confidence > 0 && confidence < 1 && degrees_of_freedom > 0))
    return std::numeric_limits<double>::quiet_NaN();
  const double probability = 0.5 * (1 + confidence);
  if (degrees_of_freedom >= kNormalFrom)
    return boost::math::quantile(boost::math::normal_distribution<double, Quiet>(), probability);
  return boost::math::quantile(boost::math::students_t_distribution<double, Quiet>(degrees_of_freedom),
                               probability);
}

}  // namespace leeward::control
