#pragma once
/// The linear model behind the joint fit: which unknowns explain a block, what is known of them beforehand,
/// and their posterior for given gusts.

#include "control/analysis/gust_filter.hpp"
#include "control/analysis/run_record.hpp"
#include "control/analysis/stack_load.hpp"
#include "control/fixed_vector.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// The unknowns. The first is the logarithm of the flow at a middle pressure, which hardly hangs together
/// with n.
enum JointColumn : int {
  kLnQ,
  kN,
  kZero,        ///< zero-flow pressure along the direction
  kLoad,        ///< mean load of wind and stack on the leaks
  kSpread,      ///< its spread
  kSignalZero,  ///< of the fan-side gauge
  kStorage,     ///< how far the building gives way, in units of its air
  kScale        ///< and those after it: calibration of each restriction that was used
};
/// The last one in use stands for all further ones.
inline constexpr int kScales = kGustColumns - kScale;
/// How far the zero-flow pressure of a kept part lay from that of the last part takes a column from the end.
static_assert(kScales > static_cast<int>(kMaxKeptParts));
[[nodiscard]] constexpr int kept_column(int part) { return kGustColumns - part; }

inline constexpr double kLnMiddlePressure = 3.5;  // ln Pa

/// An exponent before anything was measured.
struct ExponentPrior {
  double n = 0.65;
  double u = 0.06;
  bool used = true;
};

/// What the model is made about: linear in small changes from here.
struct JointPoint {
  double ln_q = 0;  ///< at the middle pressure
  double n = 0.65;
};

struct JointModel {
  const DirectionRecord& record;
  double flow_factor = 1;  ///< meter factor * leak factor
  StackSight stack = {};   ///< but the zero-flow pressure and the gusts, which the record tells
  double volume_m3 = 0;    ///< 0: not told
  ExponentPrior exponent = {};
};

/// The posterior for given gusts.
struct JointPosterior {
  bool ok = false;
  double ln_weight = 0;  ///< logarithm of the likelihood times the prior of the gusts, up to a constant
  GustRow mean;          ///< of the changes from the point
  GustNormal covariance;
  GustRow prior_u;
};

/// How unevenly the leaks are loaded while nothing flows, before anything was measured.
struct LoadPrior {
  double mean_pa = 0;     ///< along the direction
  double load_pa = 0;     ///< standard uncertainty
  double spread_pa2 = 0;  ///< mean
  double spread_u_pa2 = 0;
};
[[nodiscard]] LoadPrior load_prior(const JointModel& model, double gust_pa) noexcept;
/// The same without the neutral level, where the zero-flow pressure itself is in question.
[[nodiscard]] LoadPrior rough_load_prior(double stack_pa, double gust_pa) noexcept;

/// One block as a row of the model.
struct JointRow {
  static constexpr int kBefore = -1;
  static constexpr int kAfter = -2;
  GustBlock block;
  int station = kBefore;   ///< or kAfter, or the station's index
  double pressure_pa = 0;  ///< that a station's columns are made for
};
inline constexpr std::size_t kMostJointRows = (kMaxStations + 2 + kMaxKeptParts) * kMaxWindowBlocks;
using JointRows = FixedVector<JointRow, kMostJointRows>;

/// The restrictions of the scale columns, in the order of their first use; -1 where none.
using ScaleSlots = std::array<int, kScales>;
[[nodiscard]] ScaleSlots scale_slots(const DirectionRecord& record) noexcept;

/// The rows in the order of time, all zero-flow readings included. A spread has its mean of 0 here.
void joint_rows(const JointModel& model, const JointPoint& at, JointRows& rows) noexcept;
/// Standard uncertainties of the unknowns before anything was measured.
[[nodiscard]] GustRow joint_prior_u(const JointModel& model, const LoadPrior& load) noexcept;

/// Zero-flow pressure along the direction from the plain means.
[[nodiscard]] double plain_zero_pa(const DirectionRecord& record) noexcept;

/// @param rows  of the same model about the same point
[[nodiscard]] JointPosterior joint_posterior(const JointModel& model, const JointRows& rows,
                                             const JointPoint& at, const GustProcess& gusts) noexcept;

}  // namespace leeward::control
