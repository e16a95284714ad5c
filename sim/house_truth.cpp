#include "sim/house_truth.hpp"

#include <cmath>

namespace leeward::sim {

double true_flow_at(const HouseSpec& house, double pa) {
  double sum = 0;
  for (const LeakSpec& leak : house.leaks) sum += leak.c_m3_s_pan * std::pow(std::abs(pa), leak.n);
  return std::copysign(sum, pa);
}

double true_q50_m3_s(const HouseSpec& house) { return true_flow_at(house, 50); }

double true_n(const HouseSpec& house) {
  if (!(true_q50_m3_s(house) > 0)) return 0;
  constexpr int count = 8;
  double sum_x = 0;
  double sum_y = 0;
  double sum_xx = 0;
  double sum_xy = 0;
  for (int i = 0; i < count; ++i) {
    const double pa = 60 - 50.0 * i / (count - 1);
    const double x = std::log(pa);
    const double y = std::log(true_flow_at(house, pa));
    sum_x += x;
    sum_y += y;
    sum_xx += x * x;
    sum_xy += x * y;
  }
  return (count * sum_xy - sum_x * sum_y) / (count * sum_xx - sum_x * sum_x);
}

}  // namespace leeward::sim
