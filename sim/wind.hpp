#pragma once

#include <array>
#include <cstdint>

#include "sim/house_spec.hpp"
#include "sim/rng.hpp"

namespace leeward::sim {

/// One-sided spectrum of the gusts along the wind, in m2/s2 per Hz.
/// Source   f S / var = 4 x / (1 + 70.8 x^2)^(5/6) (von Karman) and 4 x / (1 + 6 x)^(5/3) (Kaimal, the
///          form of IEC 61400-1), x = f L / U; Burton et al., Wind Energy Handbook (from memory)
[[nodiscard]] double gust_spectrum_m2_s(const WindSpec& wind, double frequency_hz);

/// Where the wind is felt: at the facades and at the end of the outdoor tube.
inline constexpr std::size_t kWindPlaces = kFacades + 1;
inline constexpr std::size_t kTapPlace = kFacades;

/// Seeded gusts, made as they are needed, at ticks of 0.1 s.
///
/// The spectrum is a sum of first-order processes of falling time constant, each discretised exactly.
/// Both spectra are such mixtures in theory, with weights spread over all time constants; 4 (von
/// Karman) and 5 (Kaimal) of them keep within 4 % of the formula for 0.02 < f L / U < 30, with the
/// right variance. A place feels the slow part of a process common to all and the fast part of its
/// own, through a low pass and its power complement: coherence 1 / (1 + (f / f0)^2), which meets the
/// exponential at one half and stays within 0.11 of it. Facades average over their area through one
/// more low pass. The mean changes slowly by one more first-order process, the same everywhere.
/// Source   coherence exp(-decay f d / U), Davenport; admittance 1 / (1 + (2 f a / U)^(4/3)), Vickery,
///          met by the low pass at one half (both from memory); the weights were fitted here
class Wind {
 public:
  static constexpr double tick_s = 0.1;
  Wind() : Wind(WindSpec{}) {}
  explicit Wind(const WindSpec& spec, std::uint64_t seed = 0);
  void tick();
  /// Whether tick() changes anything.
  [[nodiscard]] bool steady() const { return steady_; }
  /// At least 0: a facade's pressure coefficient says nothing about wind from behind.
  [[nodiscard]] double speed_m_s(std::size_t place) const { return speed_m_s_[place]; }
  /// Mean of the square of the speed at a place, over all time, m2/s2.
  [[nodiscard]] double mean_square_m2_s2(std::size_t place) const;
  bool operator==(const Wind&) const = default;

 private:
  static constexpr std::size_t kSections = 5;
  static constexpr std::size_t kPadded = 8;
  using Places = std::array<double, kPadded>;
  struct Section {
    double lag_s = 0;
    double keep = 0;       ///< of the state, over one tick
    double renew = 0;      ///< of fresh noise
    double deviation = 0;  ///< m/s per unit of state
    double common = 0;     ///< state, variance 1
    Places own{};
    bool operator==(const Section&) const = default;
  };
  /// First-order low pass by the bilinear transform: with what it takes away it keeps all power.
  struct LowPass {
    double rate_per_s = 0;
    double pass = 0;
    double keep = 0;
    static LowPass at(double corner_hz);
    /// @param state  of one channel
    double filter(double input, double& state) const {
      const double output = state + pass * input;
      state = pass * input + keep * output;
      return output;
    }
    bool operator==(const LowPass&) const = default;
  };
  void set_sections(const WindSpec& spec);
  std::array<Section, kSections> sections_{};
  std::size_t used_ = 0;
  LowPass alike_;    ///< what is common to all places
  LowPass average_;  ///< over a facade
  double common_state_ = 0;
  Places own_state_{};
  Places face_state_{};
  double mean_m_s_ = 0;
  double slow_frac_ = 0;
  double slow_keep_ = 0;
  double slow_renew_ = 0;
  double slow_ = 0;
  bool steady_ = true;
  Rng rng_;
  Places speed_m_s_{};
};

}  // namespace leeward::sim
