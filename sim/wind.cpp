#include "sim/wind.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {

namespace {

/// A mixture of first-order processes: time constants first_s, first_s / ratio, ... in units of length
/// scale over wind, and the part of the variance that each carries.
struct Mixture {
  std::size_t count;
  double first;
  double ratio;
  std::array<double, 5> variance;
};

// Least squares of the relative error over 0.02 < f L / U < 30, weights not below 0, scaled to a sum
// of 1. Largest error 2.7 % and 3.3 %.
constexpr Mixture kVonKarman{4, 1.2029, 4.9498, {0.803187, 0.141326, 0.037238, 0.018249, 0}};
constexpr Mixture kKaimal{5, 3.4335, 4.4896, {0.137439, 0.532071, 0.244653, 0.057538, 0.028299}};

double eaves_wind_m_s(const WindSpec& spec) {
  const double wind = spec.mean_m_s * spec.shelter_factor;
  return wind > 0 ? wind : 0;
}

}  // namespace

double gust_spectrum_m2_s(const WindSpec& wind, double frequency_hz) {
  const double u = eaves_wind_m_s(wind);
  if (u <= 0) return 0;
  const double deviation = wind.turbulence_intensity * u;
  const double scale_s = wind.length_scale_m / u;
  const double x = frequency_hz * scale_s;
  const double below = wind.spectrum == SpectrumKind::kaimal ? std::pow(1 + 6 * x, 5.0 / 3)
                                                             : std::pow(1 + 70.8 * x * x, 5.0 / 6);
  return deviation * deviation * 4 * scale_s / below;
}

Wind::Wind(const WindSpec& spec, std::uint64_t seed) : mean_m_s_(eaves_wind_m_s(spec)), rng_(seed, 1) {
  slow_frac_ = spec.slow_change_frac;
  slow_keep_ = spec.slow_change_s > 0 ? fast_exp(-tick_s / spec.slow_change_s) : 0;
  slow_renew_ = std::sqrt(1 - slow_keep_ * slow_keep_);
  steady_ = mean_m_s_ <= 0 || (spec.turbulence_intensity <= 0 && spec.slow_change_frac <= 0);
  if (steady_) {
    speed_m_s_.fill(mean_m_s_);
    return;
  }
  set_sections(spec);
  slow_ = rng_.normal();
  for (std::size_t i = 0; i < used_; ++i) {
    sections_[i].common = rng_.normal();
    for (double& own : sections_[i].own) own = rng_.normal();
  }
  sum_up();
}

void Wind::set_sections(const WindSpec& spec) {
  const Mixture& mixture = spec.spectrum == SpectrumKind::kaimal ? kKaimal : kVonKarman;
  used_ = mixture.count;
  double lag_s = mixture.first * std::max(spec.length_scale_m, 0.1) / mean_m_s_;
  for (std::size_t i = 0; i < used_; ++i, lag_s /= mixture.ratio) {
    const double corner_hz = 1 / (6.283185307179586 * lag_s);
    const double coherence = std::exp(-spec.coherence_decay * corner_hz * spec.face_distance_m / mean_m_s_);
    const double common = std::sqrt(std::clamp(coherence, 0.0, 1.0));
    const double own = std::sqrt(1 - common * common);
    const double admittance = 1 / (1 + std::pow(2 * corner_hz * spec.face_size_m / mean_m_s_, 4.0 / 3));
    const double deviation = spec.turbulence_intensity * mean_m_s_ * std::sqrt(mixture.variance[i]);
    Section& section = sections_[i];
    section.keep = fast_exp(-tick_s / lag_s);
    section.renew = std::sqrt(1 - section.keep * section.keep);
    section.common_tap = deviation * common;
    section.own_tap = deviation * own;
    section.common_face = admittance * section.common_tap;
    section.own_face = admittance * section.own_tap;
  }
}

void Wind::tick() {
  if (steady_) return;
  slow_ = slow_keep_ * slow_ + slow_renew_ * rng_.quick_normal();
  for (std::size_t i = 0; i < used_; ++i) {
    Section& section = sections_[i];
    section.common = section.keep * section.common + section.renew * rng_.quick_normal();
    for (std::size_t place = 0; place < kWindPlaces; ++place)
      section.own[place] = section.keep * section.own[place] + section.renew * rng_.quick_normal();
  }
  sum_up();
}

void Wind::sum_up() {
  speed_m_s_.fill(mean_m_s_ * (1 + slow_frac_ * slow_));
  for (std::size_t i = 0; i < used_; ++i) {
    const Section& section = sections_[i];
    const double tap = section.common_tap * section.common + section.own_tap * section.own[kTapPlace];
    for (std::size_t place = 0; place < kPadded; ++place)
      speed_m_s_[place] += section.common_face * section.common + section.own_face * section.own[place];
    speed_m_s_[kTapPlace] +=
        tap - (section.common_face * section.common + section.own_face * section.own[kTapPlace]);
  }
  for (double& speed : speed_m_s_) speed = std::max(speed, 0.0);
}

double Wind::mean_square_m2_s2(std::size_t place) const {
  if (steady_) return mean_m_s_ * mean_m_s_;
  double sum = mean_m_s_ * mean_m_s_ * (1 + slow_frac_ * slow_frac_);
  for (std::size_t i = 0; i < used_; ++i) {
    const Section& section = sections_[i];
    const double common = place == kTapPlace ? section.common_tap : section.common_face;
    const double own = place == kTapPlace ? section.own_tap : section.own_face;
    sum += common * common + own * own;
  }
  return sum;
}

}  // namespace leeward::sim
