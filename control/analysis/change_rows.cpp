#include "control/analysis/change_rows.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/signal_drift.hpp"

namespace leeward::control {
namespace {

constexpr double kOpeningExponent = 0.5;  // of a door ajar, a window, a hatch
// An exhaust fan's amount moves the closing zero-flow pressure by what the leaks need for it; wind and stack
// on them make it less.
constexpr double kShareOfCalmShift = 0.7;
// What the model leaves out of a block: how well the air that the building takes up is known while its
// pressure moves, and the fan-side gauge's resolution where the signal is weak.
constexpr double kStorageDoubt = 0.5;
constexpr double kMostStored =
    0.01;                          // of the flow, by the volume's air alone, beyond which a block is left out
constexpr double kSignalU = 0.04;  // Pa
constexpr double kUsualAmount = 0.06;  // of the flow at 50 Pa, for which that shift is taken

/// Blocks of one flow scale share a column; scales that are not known to differ have none.
int scale_column(FixedVector<int, kChangeColumns - kFirstScaleColumn>& seen, int joint_column) {
  for (std::size_t i = 0; i < seen.size(); ++i)
    if (seen[i] == joint_column) return kFirstScaleColumn + static_cast<int>(i);
  return seen.push_back(joint_column) ? kFirstScaleColumn + static_cast<int>(seen.size()) - 1 : -1;
}

double curve_flow(const JointPoint& at, double pressure_pa) {
  return std::exp(at.ln_q + at.n * (std::log(pressure_pa) - kLnMiddlePressure));
}

/// Shift of the zero-flow pressure along the direction by a unit of an amount.
double shift_by_amount(const JointPoint& at) {
  const double amount = kUsualAmount * curve_flow(at, 50);
  const double calm_pa = std::exp(kLnMiddlePressure + (std::log(amount) - at.ln_q) / at.n);
  return -kShareOfCalmShift * calm_pa / amount;
}

/// More noise where the reading is worth less than the joint model takes it to be.
void add_doubt(ChangeRow& row, const JointRow& joint, const JointModel& model, const JointPoint& at) {
  if (joint.station < 0) return;
  const StationRecord& station = model.record.stations[static_cast<std::size_t>(joint.station)];
  const double share = std::sqrt(static_cast<double>(station.blocks.means.size()));
  const double by_signal =
      joint.pressure_pa / at.n * kMeterExponent * kSignalU / std::max(0.2, station.signal_mean_pa);
  row.white_pa = std::hypot(row.white_pa, share * by_signal, kStorageDoubt * std::abs(row.x[kStorage]));
}

void set_effects(ChangeRow& row, const JointRow& joint, const JointModel& model, const JointPoint& at) {
  const auto set = [&row](ChangeKind kind, double effect) {
    row.effect[static_cast<std::size_t>(kind)] = effect;
  };
  if (joint.station == JointRow::kBefore) return;
  set(ChangeKind::zero, 1);
  if (joint.station == JointRow::kAfter) return set(ChangeKind::amount, shift_by_amount(at));
  const double p = joint.pressure_pa;
  const double slope_pa = p / at.n;
  const double read = model.record.stations[static_cast<std::size_t>(joint.station)].flow_mean_m3_s;
  set(ChangeKind::opening,
      -slope_pa * std::exp((kOpeningExponent - at.n) * (std::log(p) - kLnMiddlePressure)));
  set(ChangeKind::amount, -slope_pa / read);
}

/// From 0 at the first row of the stations to 1 at their end and after.
void set_drift(ChangeRows& out) {
  if (out.first >= out.last) return;
  const double from_s = out.rows[out.first].begin_s;
  const ChangeRow& end = out.rows[out.last - 1];
  const double length_s = end.begin_s + end.length_s - from_s;
  for (std::size_t i = out.first; i < out.rows.size(); ++i) {
    const double middle_s = out.rows[i].begin_s + 0.5 * out.rows[i].length_s;
    out.rows[i].x[kDriftColumn] = std::min(1.0, (middle_s - from_s) / length_s);
  }
}

void set_priors(ChangeRows& out, const JointModel& model, const JointPoint& at) {
  const GustRow u = joint_prior_u(model, {0, 1, 1, 1});  // load and spread go with the gusts
  for (int k = 0; k <= kStorage; ++k) out.prior_u[static_cast<std::size_t>(k)] = u[k];
  if (model.exponent.used) out.prior_mean[kN] = model.exponent.n - at.n;
  out.stack_pa = std::abs(model.stack.stack_pa);
}

}  // namespace

DirectionRecord with_few_blocks(const DirectionRecord& record) noexcept {
  DirectionRecord out = record;
  std::size_t rows = 0;
  for (const StationRecord& s : out.stations) rows += s.blocks.means.size();
  for (std::size_t most = kMaxWindowBlocks / 2; rows > kMostStationRows && most > 0; most /= 2) {
    rows = 0;
    for (StationRecord& s : out.stations) {
      if (s.blocks.means.size() > most) merge_neighbours(s.blocks);
      rows += s.blocks.means.size();
    }
  }
  return out;
}

void make_change_rows(const JointModel& model, const JointPoint& at, JointRows& rows,
                      ChangeRows& out) noexcept {
  rows.clear();
  joint_rows(model, at, rows);
  out = ChangeRows{};
  FixedVector<int, kChangeColumns - kFirstScaleColumn> scales;
  set_priors(out, model, at);
  const GustRow prior = joint_prior_u(model, {0, 1, 1, 1});
  for (const JointRow& joint : rows) {
    ChangeRow row{.begin_s = joint.block.begin_s,
                  .length_s = joint.block.length_s,
                  .white_pa = joint.block.white_pa,
                  .y = joint.block.y,
                  .station = joint.station};
    for (int k = 0; k <= kStorage; ++k) row.x[static_cast<std::size_t>(k)] = joint.block.x[k];
    for (int k = kScale; k < kGustColumns; ++k) {
      if (joint.block.x[k] == 0) continue;
      const int column = scale_column(scales, k);
      if (column < 0) continue;
      row.x[static_cast<std::size_t>(column)] = joint.block.x[k];
      out.prior_u[static_cast<std::size_t>(column)] = prior[k];
    }
    if (std::abs(row.x[kStorage]) > kMostStored * std::abs(row.x[kLnQ])) continue;
    if (joint.station == JointRow::kAfter) row.x[kAfterColumn] = 1;
    add_doubt(row, joint, model, at);
    set_effects(row, joint, model, at);
    if (joint.station >= 0 && out.last == 0) out.first = out.rows.size();
    out.rows.push_back(row);
    if (joint.station >= 0) out.last = out.rows.size();
  }
  set_drift(out);
}

}  // namespace leeward::control
