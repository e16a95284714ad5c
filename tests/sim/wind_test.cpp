#include "sim/wind.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace leeward::sim {
namespace {

using WindLine = std::vector<std::complex<double>>;

/// Radix-2 transform in place; the length is a power of 2.
void wind_fft(WindLine& x) {
  const std::size_t n = x.size();
  for (std::size_t i = 1, j = 0; i < n; ++i) {
    std::size_t bit = n >> 1U;
    for (; (j & bit) != 0; bit >>= 1U) j ^= bit;
    j ^= bit;
    if (i < j) std::swap(x[i], x[j]);
  }
  for (std::size_t length = 2; length <= n; length *= 2) {
    const auto turn = std::polar(1.0, -2 * std::numbers::pi / static_cast<double>(length));
    for (std::size_t start = 0; start < n; start += length) {
      std::complex<double> w = 1;
      for (std::size_t k = 0; k < length / 2; ++k, w *= turn) {
        const auto even = x[start + k];
        const auto odd = w * x[start + k + length / 2];
        x[start + k] = even + odd;
        x[start + k + length / 2] = even - odd;
      }
    }
  }
}

WindSpec gusty_wind(SpectrumKind kind) {
  WindSpec wind;
  wind.mean_m_s = 10;
  wind.shelter_factor = 0.5;
  wind.turbulence_intensity = 0.2;
  wind.length_scale_m = 50;
  wind.spectrum = kind;
  wind.slow_change_frac = 0;
  return wind;
}

constexpr std::size_t kWindSegment = 4096;
constexpr double kWindSegmentSeconds = kWindSegment * Wind::tick_s;

/// Mean periodogram of one place and mean cross-periodogram with another, Hann window.
struct WindSpectra {
  std::vector<double> tap, wall, cross;
  double variance = 0, mean = 0;
};

WindSpectra wind_spectra(const WindSpec& spec, int segments) {
  Wind wind(spec, 17);
  WindSpectra sum{std::vector<double>(kWindSegment / 2), std::vector<double>(kWindSegment / 2),
                  std::vector<double>(kWindSegment / 2)};
  const double u = spec.mean_m_s * spec.shelter_factor;
  const double scale = 2 * Wind::tick_s / (0.375 * kWindSegment) / segments;
  for (int s = 0; s < segments; ++s) {
    WindLine tap(kWindSegment), wall(kWindSegment);
    for (std::size_t i = 0; i < kWindSegment; ++i) {
      wind.tick();
      const double window =
          0.5 - 0.5 * std::cos(2 * std::numbers::pi * static_cast<double>(i) / kWindSegment);
      const double gust = wind.speed_m_s(kTapPlace) - u;
      sum.mean += gust / (segments * static_cast<double>(kWindSegment));
      sum.variance += gust * gust / (segments * static_cast<double>(kWindSegment));
      tap[i] = gust * window;
      wall[i] = (wind.speed_m_s(0) - u) * window;
    }
    wind_fft(tap);
    wind_fft(wall);
    for (std::size_t k = 0; k < kWindSegment / 2; ++k) {
      sum.tap[k] += scale * std::norm(tap[k]);
      sum.wall[k] += scale * std::norm(wall[k]);
      sum.cross[k] += scale * (tap[k] * std::conj(wall[k])).real();
    }
  }
  return sum;
}

double wind_band(const std::vector<double>& spectrum, double low_hz, double high_hz) {
  double sum = 0;
  int count = 0;
  for (std::size_t k = 1; k < spectrum.size(); ++k) {
    const double f = static_cast<double>(k) / kWindSegmentSeconds;
    if (f < low_hz || f >= high_hz) continue;
    sum += spectrum[k];
    ++count;
  }
  return sum / count;
}

double formula_band(const WindSpec& spec, double low_hz, double high_hz) {
  double sum = 0;
  int count = 0;
  for (std::size_t k = 1; k < kWindSegment / 2; ++k) {
    const double f = static_cast<double>(k) / kWindSegmentSeconds;
    if (f < low_hz || f >= high_hz) continue;
    sum += gust_spectrum_m2_s(spec, f);
    ++count;
  }
  return sum / count;
}

TEST(GustSpectrum, FormulasIntegrateToTheVariance) {
  for (const SpectrumKind kind : {SpectrumKind::von_karman, SpectrumKind::kaimal}) {
    const WindSpec spec = gusty_wind(kind);
    double integral = 0;  // of f S over ln f, trapezoidal
    const double step = 0.01;
    for (double ln_f = std::log(1e-6); ln_f < std::log(1e6); ln_f += step)
      integral += step * std::exp(ln_f) * gust_spectrum_m2_s(spec, std::exp(ln_f));
    EXPECT_NEAR(integral, 1.0, 0.002);  // (0.2 * 5)^2; relative, the ends of the integral left out
  }
}

TEST(Wind, VarianceIsThatOfTheTurbulenceIntensity) {
  for (const SpectrumKind kind : {SpectrumKind::von_karman, SpectrumKind::kaimal}) {
    const WindSpec spec = gusty_wind(kind);
    const WindSpectra seen = wind_spectra(spec, 700);
    EXPECT_NEAR(seen.mean, 0, 0.03);      // absolute, m/s
    EXPECT_NEAR(seen.variance, 1, 0.04);  // relative; three standard errors of 80 hours
    EXPECT_NEAR(Wind(spec, 1).mean_square_m2_s2(kTapPlace), 26, 1e-3);  // 5^2 + 1, weights sum to 1
  }
}

TEST(Wind, SpectrumHasTheShapeOfTheFormula) {
  for (const SpectrumKind kind : {SpectrumKind::von_karman, SpectrumKind::kaimal}) {
    const WindSpec spec = gusty_wind(kind);
    const WindSpectra seen = wind_spectra(spec, 700);
    for (double f = 0.005; f < 0.9; f *= 1.8) {
      const double ratio = wind_band(seen.tap, f, f * 1.8) / formula_band(spec, f, f * 1.8);
      EXPECT_NEAR(ratio, 1, 0.08) << "relative, from " << f << " Hz";
    }
  }
}

TEST(Wind, CoherenceBetweenPlacesFallsWithFrequencyAsStated) {
  const WindSpec spec = gusty_wind(SpectrumKind::von_karman);
  const WindSpectra seen = wind_spectra(spec, 300);
  double last = 1;
  for (double f = 0.005; f < 0.5; f *= 2) {
    const double coherence = wind_band(seen.cross, f, 2 * f) /
                             std::sqrt(wind_band(seen.tap, f, 2 * f) * wind_band(seen.wall, f, 2 * f));
    const double stated = std::exp(-spec.coherence_decay * 1.4 * f * spec.face_distance_m / 5);
    EXPECT_NEAR(coherence, stated, 0.15) << "absolute, at " << 1.4 * f << " Hz";
    EXPECT_LT(coherence, last + 0.02);
    last = coherence;
  }
  EXPECT_LT(last, 0.05);
}

TEST(Wind, AFacadeFeelsLessOfTheFastGustsThanAPoint) {
  const WindSpec spec = gusty_wind(SpectrumKind::von_karman);
  const WindSpectra seen = wind_spectra(spec, 200);
  EXPECT_NEAR(wind_band(seen.wall, 0.003, 0.02) / wind_band(seen.tap, 0.003, 0.02), 1, 0.1);
  for (const double f : {0.2, 0.45, 0.9}) {
    // 5 m/s past a side of 5 m
    const double amplitude = 1 / (1 + std::pow(2 * f, 4.0 / 3));
    const double ratio = wind_band(seen.wall, f / 1.1, f * 1.1) / wind_band(seen.tap, f / 1.1, f * 1.1);
    EXPECT_NEAR(ratio, amplitude * amplitude, 0.1) << "absolute, at " << f << " Hz";
  }
}

TEST(Wind, TheSlowChangeIsTheSameEverywhere) {
  WindSpec spec = gusty_wind(SpectrumKind::von_karman);
  spec.turbulence_intensity = 0;
  spec.slow_change_frac = 0.1;
  Wind wind(spec, 3);
  double variance = 0;
  constexpr int count = 3000000;
  for (int i = 0; i < count; ++i) {
    wind.tick();
    ASSERT_EQ(wind.speed_m_s(0), wind.speed_m_s(kTapPlace));
    variance += (wind.speed_m_s(0) - 5) * (wind.speed_m_s(0) - 5) / count;
  }
  EXPECT_NEAR(variance, 0.25, 0.05);  // (0.1 * 5)^2, three standard errors
}

TEST(Wind, SameSeedSameBitsAndACopyGoesOnAlike) {
  const WindSpec spec = gusty_wind(SpectrumKind::kaimal);
  Wind a(spec, 9), b(spec, 9), other(spec, 10);
  for (int i = 0; i < 100; ++i) a.tick(), b.tick();
  EXPECT_EQ(a, b);
  EXPECT_NE(a.speed_m_s(0), other.speed_m_s(0));
  Wind copy = a;
  a.tick();
  EXPECT_NE(a, copy);
  copy.tick();
  EXPECT_EQ(a, copy);
}

TEST(Wind, WithoutTurbulenceIsSteadyAndWithoutWindIsStill) {
  WindSpec spec = gusty_wind(SpectrumKind::von_karman);
  spec.turbulence_intensity = 0;
  Wind steady(spec, 1);
  steady.tick();
  EXPECT_TRUE(steady.steady());
  EXPECT_EQ(steady.speed_m_s(2), 5);
  spec.mean_m_s = 0;
  EXPECT_EQ(Wind(spec, 1).speed_m_s(2), 0);
  EXPECT_EQ(gust_spectrum_m2_s(spec, 0.1), 0);
}

}  // namespace
}  // namespace leeward::sim
