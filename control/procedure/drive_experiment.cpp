#include "control/procedure/drive_experiment.hpp"

#include <algorithm>
#include <array>

#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

enum class PartKind { rest, hold, least, base };

struct Part {
  PartKind kind;
  double lasts_s;
  double share = 0;  ///< hold: of the limit; base: of the demand between the least and the base
};

// A first look, then as high as is safe without knowing the house; from there open-loop, where nothing can
// swing: all the way down at the drive's own slew and up again, and a small step, which the slew does not
// bound. No turn comes faster than the guard allows a loop to swing.
constexpr std::array kParts = std::to_array<Part>({
    {PartKind::rest, 1.5},
    {PartKind::hold, 7, 0.35},
    {PartKind::hold, 9, 0.72},
    {PartKind::least, 5},
    {PartKind::base, 7, 1},
    {PartKind::base, 4, 0.6},
    {PartKind::base, 4, 1},
    {PartKind::least, 3},
    {PartKind::base, 6.5, 1},
    {PartKind::least, 5},
});
constexpr double kBaseSmoothTime = 1.5;     // s
constexpr double kTooHigh = 0.88;       // of the limit
constexpr double kLowered = 0.85;       // of the base, after it was too high

double all_parts_s() {
  double sum = 0;
  for (const Part& p : kParts) sum += p.lasts_s;
  return sum;
}

void next_part(DriveExperimentState& s) {
  const auto was = kParts[static_cast<std::size_t>(s.part)];
  if (was.kind == PartKind::hold) s.base_frac = s.smooth_frac;
  if (s.too_high) s.base_frac *= kLowered;
  s.too_high = false;
  s.part += 1;
  s.part_s = 0;
}

}  // namespace

DriveExperimentOutput drive_experiment_step(DriveExperimentState& s, const DriveExperimentInput& in) noexcept {
  constexpr double rounding_s = 1e-6;
  DriveExperimentOutput out;
  s.total_s += in.dt_s;
  s.part_s += in.dt_s;
  s.highest_pa = std::max(s.highest_pa, in.induced_pa);
  s.smooth_frac = lag_step(s.smooth_frac, in.demand_frac, in.dt_s, kBaseSmoothTime);
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
  s.too_high = s.too_high || in.induced_pa > kTooHigh * in.limit_pa;
  if (s.too_high || part.kind == PartKind::least)
    out.keep_frac = in.least_frac;
  else if (part.kind == PartKind::hold)
    out.target_pa = part.share * in.limit_pa;
  else
    out.keep_frac = in.least_frac + part.share * std::max(0.0, s.base_frac - in.least_frac);
  return out;
}

double experiment_left_s(const DriveExperimentState& s) noexcept { return std::max(0.0, all_parts_s() - s.total_s); }

}  // namespace leeward::control
