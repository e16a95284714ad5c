#pragma once
/// The linear model behind the joint fit: which unknowns explain a block, what is known of them beforehand,
/// and their posterior for given gusts.

#include "control/analysis/gust_filter.hpp"
#include "control/analysis/run_record.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// The unknowns. The first is the logarithm of the flow at a middle pressure, which hardly hangs together
/// with n. The last stands for something that is suspected to have begun during the test.
enum JointColumn : int {
  kLnQ,
  kN,
  kZero,        ///< zero-flow pressure along the direction
  kLoad,        ///< mean load of wind and stack on the leaks
  kSpread,      ///< its spread
  kSignalZero,  ///< of the fan-side gauge
  kStorage,     ///< how far the building gives way, in units of its air
  kSuspect,
  kScale  ///< and those after it: calibration of each restriction that was used
};
inline constexpr int kScales = kGustColumns - kScale;  ///< the last one stands for all further ones

inline constexpr double kLnMiddlePressure = 3.5;  // ln Pa

/// An exponent before anything was measured.
struct ExponentPrior {
  double n = 0.65;
  double u = 0.06;
  bool used = true;
};

/// Something that may have begun at a time: the flow changes by a ratio, or by an amount.
struct Suspect {
  enum class Kind : std::uint8_t { none, flow_ratio, flow_amount };
  Kind kind = Kind::none;
  std::int64_t from_ns = 0;
};

/// What the model is made about: linear in small changes from here.
struct JointPoint {
  double ln_q = 0;  ///< at the middle pressure
  double n = 0.65;
};

struct JointModel {
  const DirectionRecord& record;
  double flow_factor = 1;  ///< meter factor * leak factor
  double stack_pa = 0;     ///< weight of the indoor against the outdoor air over the building's height
  double volume_m3 = 0;    ///< 0: not told
  ExponentPrior exponent = {};
  Suspect suspect = {};
};

/// The posterior for given gusts.
struct JointPosterior {
  bool ok = false;
  double ln_weight = 0;  ///< logarithm of the likelihood times the prior of the gusts, up to a constant
  GustRow mean;          ///< of the changes from the point
  GustNormal covariance;
  GustRow prior_u;
};

/// Zero-flow pressure along the direction from the plain means.
[[nodiscard]] double plain_zero_pa(const DirectionRecord& record) noexcept;

/// The restrictions of the scale columns, in the order of their first use; -1 where none.
using ScaleSlots = std::array<int, kScales>;
[[nodiscard]] ScaleSlots scale_slots(const DirectionRecord& record) noexcept;

inline constexpr std::size_t kMaxJointBlocks = (kMaxStations + 2) * kMaxWindowBlocks;
using JointBlocks = FixedVector<GustBlock, kMaxJointBlocks>;

/// The record as blocks in the order of time, linear about a point.
[[nodiscard]] JointBlocks joint_blocks(const JointModel& model, const JointPoint& at) noexcept;

[[nodiscard]] JointPosterior joint_posterior(const JointModel& model, const JointBlocks& blocks,
                                             const JointPoint& at, const GustProcess& gusts) noexcept;

[[nodiscard]] inline JointPosterior joint_posterior(const JointModel& model, const JointPoint& at,
                                                    const GustProcess& gusts) noexcept {
  return joint_posterior(model, joint_blocks(model, at), at, gusts);
}

}  // namespace leeward::control
