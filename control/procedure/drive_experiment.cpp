#include "control/procedure/drive_experiment.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

enum class PartKind { rest, creep, hold, least, base };

struct Part {
  PartKind kind;
  double lasts_s;
  double share = 0;  ///< creep, hold: of the limit; base: of the demand between the least and the base
};

// Open-loop and ever quicker until the pressure begins to answer, for in a cold house the stack hides how
// near it is; then as high as is safe without knowing the house; from there open-loop again, where nothing
// can swing: all the way down at the drive's own slew and up again, and a small step, which the slew does not
// bound. No turn comes faster than the guard allows a loop to swing.
constexpr std::array kParts = std::to_array<Part>({
    {PartKind::rest, 1.5},
    {PartKind::creep, 13, 0.15},
    {PartKind::hold, 5, 0.35},
    {PartKind::hold, 7.5, 0.62},
    {PartKind::least, 5},
    {PartKind::base, 6.5, 1},
    {PartKind::base, 4, 0.6},
    {PartKind::base, 4, 1},
    {PartKind::least, 3},
    {PartKind::base, 6, 1},
    {PartKind::least, 4},
});
constexpr double kCreepFrac = 0.05;        // of full demand, of which the creep adds a factor of e ...
constexpr double kCreepTime = 5;           // s ... in this time
constexpr double kCreepAhead = 1.5;        // s that it looks ahead
constexpr double kBaseSmoothTime = 1.5;    // s
constexpr double kTooHigh = 0.8;           // of the limit
constexpr double kAhead = 1.0;             // s that a hold looks ahead: wheel and gauge are late
constexpr double kPressureRateTime = 0.5;  // s
constexpr double kMostRise = 1.75;         // of the demand from one hold to the next
constexpr double kLowered = 0.85;          // of the base, after it was too high

void next_part(DriveExperimentState& s) {
  const auto was = kParts[static_cast<std::size_t>(s.part)];
  if (was.kind == PartKind::hold) s.base_frac = s.smooth_frac;
  if (s.too_high) s.base_frac *= kLowered;
  s.too_high = false;
  s.part += 1;
  s.part_s = 0;
}

/// The second hold's approach: a loop that knows nothing of a house whose stack hides its answer swings, and
/// would enter with far more than the pressure takes. Until it is nearly there the demand is bounded by what
/// held the pressure before. @returns the bound where it binds, else 0
double bound_of_approach(const DriveExperimentState& s, const DriveExperimentInput& in, double target_pa) {
  if (s.base_frac <= 0 || in.induced_pa + kAhead * s.rate_pa_s >= target_pa) return 0;
  const double most = in.least_frac + kMostRise * std::max(0.0, s.base_frac - in.least_frac);
  constexpr double rounding_frac = 1e-9;
  return in.demand_frac > most - rounding_frac ? most : 0;
}

}  // namespace

DriveExperimentOutput drive_experiment_step(DriveExperimentState& s,
                                            const DriveExperimentInput& in) noexcept {
  constexpr double rounding_s = 1e-6;
  DriveExperimentOutput out;
  s.total_s += in.dt_s;
  s.part_s += in.dt_s;
  s.highest_pa = std::max(s.highest_pa, in.induced_pa);
  if (!s.too_high) s.smooth_frac = lag_step(s.smooth_frac, in.demand_frac, in.dt_s, kBaseSmoothTime);
  if (in.dt_s > 0)
    s.rate_pa_s = lag_step(s.rate_pa_s, (in.induced_pa - s.last_pa) / in.dt_s, in.dt_s, kPressureRateTime);
  s.last_pa = in.induced_pa;
  while (s.part < static_cast<int>(kParts.size()) &&
         s.part_s > kParts[static_cast<std::size_t>(s.part)].lasts_s + rounding_s)
    next_part(s);
  if (s.part >= static_cast<int>(kParts.size())) {
    out.done = true;
    return out;
  }
  const Part part = kParts[static_cast<std::size_t>(s.part)];
  if (part.kind == PartKind::rest) return out;
  out.drive = true;
  if (part.kind == PartKind::creep) {
    out.keep_frac = in.least_frac + kCreepFrac * std::expm1(s.part_s / kCreepTime);
    if (in.induced_pa + kCreepAhead * std::max(0.0, s.rate_pa_s) > part.share * in.limit_pa) next_part(s);
    return out;
  }
  const double ahead_s = part.kind == PartKind::hold ? kAhead : 0;
  s.too_high = s.too_high || in.induced_pa + ahead_s * s.rate_pa_s > kTooHigh * in.limit_pa;
  if (s.too_high || part.kind == PartKind::least) {
    out.keep_frac = in.least_frac;
  } else if (part.kind == PartKind::hold) {
    out.keep_frac = bound_of_approach(s, in, part.share * in.limit_pa);
    out.target_pa = out.keep_frac > 0 ? 0 : part.share * in.limit_pa;
  } else {
    out.keep_frac = in.least_frac + part.share * std::max(0.0, s.base_frac - in.least_frac);
  }
  return out;
}

double experiment_left_s(const DriveExperimentState& s) noexcept {
  double left = -s.part_s;
  for (std::size_t i = static_cast<std::size_t>(s.part); i < kParts.size(); ++i) left += kParts[i].lasts_s;
  return std::max(0.0, left);
}

}  // namespace leeward::control
