#include "control/analysis/gust_filter.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {

void GustFilter::pass_gap(double begin_s) noexcept {
  const double stationary = process_.sd_pa * process_.sd_pa;
  if (!started_) {
    variance_ = stationary;
    started_ = true;
    return;
  }
  const double keeps = std::exp(-std::max(0.0, begin_s - end_s_) / process_.time_s);
  variance_ = keeps * keeps * variance_ + stationary * (1 - keeps * keeps);
  mean_y_ *= keeps;
  mean_x_ *= keeps;
}

void GustFilter::absorb(const GustBlock& block, double y) noexcept {
  pass_gap(block.begin_s);
  const double tau = process_.time_s;
  const double length = block.length_s;
  const double stationary = process_.sd_pa * process_.sd_pa;
  const double keeps = std::exp(-length / tau);
  // What a value at the begin adds to the mean over the block, and how the rest of that mean varies.
  const double into_mean = tau * (1 - keeps) / length;
  const double whole_mean = 2 * tau * tau / (length * length) * (length / tau - 1 + keeps);
  const double mean_noise = stationary * std::max(0.0, whole_mean - into_mean * into_mean);
  const double cross_noise = stationary * into_mean * (1 - keeps);
  const double mean_variance = into_mean * into_mean * variance_ + mean_noise;
  const double cross = keeps * into_mean * variance_ + cross_noise;
  const double end_variance = keeps * keeps * variance_ + stationary * (1 - keeps * keeps);

  const double innovation_variance = mean_variance + block.white_pa * block.white_pa;
  const double weight = 1 / innovation_variance;
  const double gain = cross * weight;
  const double e_y = y - into_mean * mean_y_;
  const GustRow e_x = block.x - into_mean * mean_x_;
  mean_y_ = keeps * mean_y_ + gain * e_y;
  mean_x_ = keeps * mean_x_ + gain * e_x;
  variance_ = std::max(0.0, end_variance - cross * gain);
  end_s_ = block.begin_s + length;

  sums_.xx.noalias() += weight * e_x * e_x.transpose();
  sums_.xy += weight * e_y * e_x;
  sums_.yy += weight * e_y * e_y;
  sums_.ln_variance += std::log(innovation_variance);
  sums_.blocks += 1;
}

}  // namespace leeward::control
