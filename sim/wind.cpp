#include "sim/wind.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

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

Wind::LowPass Wind::LowPass::at(double corner_hz) {
  constexpr double highest_hz = 0.45 / tick_s;
  const double corner = std::min(corner_hz, highest_hz);
  const double w = std::tan(std::numbers::pi * corner * tick_s);
  return {.rate_per_s = 2 * std::numbers::pi * corner, .pass = w / (1 + w), .keep = (1 - w) / (1 + w)};
}

Wind::Wind(const WindSpec& spec, std::uint64_t seed) : mean_m_s_(eaves_wind_m_s(spec)), rng_(seed, 1) {
  slow_frac_ = spec.slow_change_frac;
  slow_keep_ = spec.slow_change_s > 0 ? std::exp(-tick_s / spec.slow_change_s) : 0;
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
  // The processes start as if they had run for ever; the filters have to run in.
  constexpr double most_ticks = 1000;
  const double run_in =
      std::min(most_ticks, 5 / (alike_.rate_per_s * tick_s) + 5 / (average_.rate_per_s * tick_s));
  for (int i = 0; i <= static_cast<int>(run_in); ++i) tick();
}

void Wind::set_sections(const WindSpec& spec) {
  const Mixture& mixture = spec.spectrum == SpectrumKind::kaimal ? kKaimal : kVonKarman;
  used_ = mixture.count;
  double lag_s = mixture.first * spec.length_scale_m / mean_m_s_;
  for (std::size_t i = 0; i < used_; ++i, lag_s /= mixture.ratio) {
    Section& section = sections_[i];
    section.lag_s = lag_s;
    section.keep = std::exp(-tick_s / lag_s);
    section.renew = std::sqrt(1 - section.keep * section.keep);
    section.deviation = spec.turbulence_intensity * mean_m_s_ * std::sqrt(mixture.variance[i]);
  }
  constexpr double any = 1e-9;  // distances and sizes of 0 are allowed
  alike_ = LowPass::at(std::numbers::ln2 * mean_m_s_ / (spec.coherence_decay * spec.face_distance_m + any));
  average_ = LowPass::at(mean_m_s_ / (2 * std::numbers::sqrt3 * spec.face_size_m + any));
}

void Wind::tick() {
  if (steady_) return;
  double common = 0;
  Places own{};
  for (std::size_t i = 0; i < used_; ++i) {
    Section& section = sections_[i];
    section.common = section.keep * section.common + section.renew * rng_.quick_normal();
    common += section.deviation * section.common;
    for (std::size_t four = 0; four < kPadded; four += 4) {
      const std::array<double, 4> fresh = rng_.four_uniforms();
      for (std::size_t k = 0; k < 4; ++k)
        section.own[four + k] = section.keep * section.own[four + k] + section.renew * fresh[k];
    }
    for (std::size_t place = 0; place < kPadded; ++place)
      own[place] += section.deviation * section.own[place];
  }
  slow_ = slow_keep_ * slow_ + slow_renew_ * rng_.quick_normal();
  const double mean = mean_m_s_ * (1 + slow_frac_ * slow_);
  const double shared = alike_.filter(common, common_state_);
  for (std::size_t place = 0; place < kPadded; ++place) {
    const double gust = shared + own[place] - alike_.filter(own[place], own_state_[place]);
    const double felt = place == kTapPlace ? gust : average_.filter(gust, face_state_[place]);
    speed_m_s_[place] = std::max(0.0, mean + felt);
  }
}

double Wind::mean_square_m2_s2(std::size_t place) const {
  if (steady_) return mean_m_s_ * mean_m_s_;
  double sum = mean_m_s_ * mean_m_s_ * (1 + slow_frac_ * slow_frac_);
  for (std::size_t i = 0; i < used_; ++i) {
    // A first-order process through a first-order low pass keeps this part of its variance.
    const double through = average_.rate_per_s / (average_.rate_per_s + 1 / sections_[i].lag_s);
    sum += sections_[i].deviation * sections_[i].deviation * (place == kTapPlace ? 1 : through);
  }
  return sum;
}

}  // namespace leeward::sim
