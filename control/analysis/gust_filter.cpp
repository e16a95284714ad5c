#include "control/analysis/gust_filter.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {

GustStep gust_step(const GustProcess& process, double variance, double gap_s, double length_s,
                   double white_pa) noexcept {
  const double tau = process.time_s;
  const double stationary = process.sd_pa * process.sd_pa;
  GustStep s;
  s.pass = gap_s < 0 ? 1 : std::exp(-gap_s / tau);
  const double begin_variance =
      gap_s < 0 ? stationary : s.pass * s.pass * variance + stationary * (1 - s.pass * s.pass);
  s.keeps = std::exp(-length_s / tau);
  // What a value at the begin adds to the mean over the block, and how the rest of that mean varies.
  s.into_mean = tau * (1 - s.keeps) / length_s;
  const double whole_mean = 2 * tau * tau / (length_s * length_s) * (length_s / tau - 1 + s.keeps);
  const double mean_noise = stationary * std::max(0.0, whole_mean - s.into_mean * s.into_mean);
  const double cross_noise = stationary * s.into_mean * (1 - s.keeps);
  const double mean_variance = s.into_mean * s.into_mean * begin_variance + mean_noise;
  const double cross = s.keeps * s.into_mean * begin_variance + cross_noise;
  const double end_variance = s.keeps * s.keeps * begin_variance + stationary * (1 - s.keeps * s.keeps);
  s.weight = 1 / (mean_variance + white_pa * white_pa);
  s.gain = cross * s.weight;
  s.end_variance = std::max(0.0, end_variance - cross * s.gain);
  return s;
}

void GustFilter::absorb(const GustBlock& block, double y) noexcept {
  const double gap_s = started_ ? std::max(0.0, block.begin_s - end_s_) : -1;
  const GustStep s = gust_step(process_, variance_, gap_s, block.length_s, block.white_pa);
  started_ = true;
  mean_y_ *= s.pass;
  mean_x_ *= s.pass;
  const double e_y = y - s.into_mean * mean_y_;
  const GustRow e_x = block.x - s.into_mean * mean_x_;
  mean_y_ = s.keeps * mean_y_ + s.gain * e_y;
  mean_x_ = s.keeps * mean_x_ + s.gain * e_x;
  variance_ = s.end_variance;
  end_s_ = block.begin_s + block.length_s;

  sums_.xx.noalias() += s.weight * e_x * e_x.transpose();
  sums_.xy += s.weight * e_y * e_x;
  sums_.yy += s.weight * e_y * e_y;
  sums_.ln_variance -= std::log(s.weight);
  sums_.blocks += 1;
}

}  // namespace leeward::control
