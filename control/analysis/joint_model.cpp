#include "control/analysis/joint_model.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "control/analysis/gust_grid.hpp"
#include "control/analysis/signal_drift.hpp"
#include "control/seconds_between.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

// Standard uncertainties that no record carries.
// Of a gauge's reading: noise and resolution of 0.1 Pa each and lag (common practice), or less where the
// calmest of all readings shows it; of a mean what is left of them and at least a tenth of a step.
constexpr double kReadingU = 0.2;        // Pa
constexpr double kLeastReadingU = 0.06;  // Pa, where readings seem to stand still
constexpr int kFewReadings = 30;         // too few to tell a noise by
constexpr double kLeastMeanU = 0.01;     // Pa
constexpr double kGaugeZeroU = 0.02;     // Pa, drift of the building gauge between zero-flow readings
// Air and envelope give way while the pressure moves: m3/s for each Pa/s, in units of the volume's air alone,
// which walls and windows enlarge up to fourfold (common practice, no source).
constexpr double kStorageMean = 1.8;
constexpr double kStorageU = 0.8;
constexpr double kPolytropic = 1.2;
constexpr double kUnknownVolume = 500;  // m3
// How unevenly the leaks are loaded while nothing flows, as shares of what can be measured: the stack
// pressure over the height, and the standard deviation of the gusts, which go with the steady wind.
constexpr double kLoadOfStack = 0.025;
constexpr double kLoadOfGusts = 0.10;
constexpr double kSpreadOfStack = 1.0 / 12;  // of leaks spread evenly over the height
constexpr double kSpreadOfGusts = 1.0;
constexpr double kSpreadU = 0.5;  // relative
constexpr double kVague = 1e-6;   // precision of what nothing is known of

double block_begin_s(const JointModel& m, std::int64_t begin_ns, const WindowBlocks& blocks, std::size_t i) {
  return seconds_between(m.record.before.begin_ns, begin_ns) + static_cast<double>(i) * blocks.block_s;
}

/// What moves the readings of the calmest window is noise of the gauge, or more.
double reading_u_pa(const DirectionRecord& record) {
  double least = kReadingU;
  const auto see = [&least](int samples, double sd_pa) {
    if (samples >= kFewReadings && std::isfinite(sd_pa)) least = std::min(least, sd_pa);
  };
  for (const KeptPart& part : record.kept) see(part.before.samples, part.before.sd_pa);
  if (record.before.taken) see(record.before.samples, record.before.sd_pa);
  if (record.after.taken) see(record.after.samples, record.after.sd_pa);
  for (const StationRecord& s : record.stations) see(s.samples, s.pressure_sd_pa);
  return std::max(kLeastReadingU, least);
}

double mean_u_pa(double reading_u_pa, int samples) {
  return std::hypot(kLeastMeanU, reading_u_pa / std::sqrt(std::max(1, samples)));
}

template <class Take>
void for_baseline(const JointModel& m, const BaselineRecord& baseline, int part, double reading_u,
                  Take&& take) {
  if (!baseline.taken) return;
  const double share = std::sqrt(static_cast<double>(baseline.blocks.means.size()));
  for (std::size_t i = 0; i < baseline.blocks.means.size(); ++i) {
    GustBlock block{.begin_s = block_begin_s(m, baseline.begin_ns, baseline.blocks, i),
                    .length_s = baseline.blocks.block_s,
                    .white_pa = mean_u_pa(reading_u, baseline.samples) * share,
                    .y = along(m.record.direction, baseline.blocks.means[i].pressure_pa)};
    block.x[kZero] = 1;
    if (part > 0) block.x[kept_column(part)] = 1;
    take(block);
  }
}

/// Pressure that the columns are made for. A gust moves pressure and flow at once, so that a column made from
/// either would hang together with the error that it stands beside; the set-point does not know the gusts.
double design_pressure(const JointModel& m, const StationRecord& station) {
  if (station.settled && station.target_pa > 0) return station.target_pa;
  return std::max(1.0, along(m.record.direction, station.pressure_mean_pa) - plain_zero_pa(m.record));
}

template <class Take>
void for_station(const JointModel& m, const StationRecord& station, const JointPoint& at, int scale,
                 double reading_u, Take&& take) {
  const double share = std::sqrt(static_cast<double>(station.blocks.means.size()));
  const double p = design_pressure(m, station);
  const double air_m3_pa = (m.volume_m3 > 0 ? m.volume_m3 : kUnknownVolume) / (kPolytropic * 101325.0);
  const double mean_u = mean_u_pa(reading_u, station.samples);
  const double signal_pa = std::max(0.5, station.signal_mean_pa);
  GustBlock block{.length_s = station.blocks.block_s,
                  .white_pa = share * mean_u * std::hypot(1, p / at.n * kMeterExponent / signal_pa)};
  block.x[kLnQ] = -p / at.n;
  block.x[kN] = -p * (std::log(p) - kLnMiddlePressure) / at.n;
  block.x[kZero] = 1;
  if (station.part > 0) block.x[kept_column(station.part)] = 1;
  block.x[kLoad] = -1;
  block.x[kSpread] = 0.5 * (1 - at.n) / p;
  block.x[kSignalZero] = -p / at.n * kMeterExponent / signal_pa;
  block.x[kScale + scale] = station.flow_k_relative_u > 0 ? p / at.n : 0;
  for (std::size_t i = 0; i < station.blocks.means.size(); ++i) {
    const BlockMean& mean = station.blocks.means[i];
    const double stored_m3_s = air_m3_pa * along(m.record.direction, mean.change_pa) / station.blocks.block_s;
    block.begin_s = block_begin_s(m, station.begin_ns, station.blocks, i);
    block.x[kStorage] = -p / at.n * stored_m3_s / station.flow_mean_m3_s;
    const double leaked = std::max(0.2 * mean.flow_m3_s, mean.flow_m3_s - kStorageMean * stored_m3_s);
    const double by_flow = std::exp(kLnMiddlePressure + (std::log(leaked * m.flow_factor) - at.ln_q) / at.n);
    block.y = along(m.record.direction, mean.pressure_pa) - by_flow;
    take(block);
  }
}

GustSums sums_for(const JointRows& rows, const GustProcess& gusts, const LoadPrior& prior) {
  GustFilter filter(gusts);
  for (const JointRow& row : rows)
    filter.absorb(row.block,
                  row.block.y - row.block.x[kSpread] * prior.spread_pa2 - row.block.x[kLoad] * prior.mean_pa);
  return filter.sums();
}

int scales_of(const DirectionRecord& record) { return kScales - static_cast<int>(record.kept.size()); }

int slot_of(const ScaleSlots& slots, int scales, int restriction) {
  for (int i = 0; i < scales; ++i)
    if (slots[static_cast<std::size_t>(i)] == restriction) return i;
  return scales - 1;
}

double scale_u(const DirectionRecord& record, int restriction) {
  for (const StationRecord& s : record.stations)
    if (s.restriction == restriction) return s.flow_k_relative_u;
  return 0;
}

}  // namespace

LoadPrior load_prior(const JointModel& m, double gust_pa) noexcept {
  StackSight sight = m.stack;
  sight.zero_flow_pa = along(m.record.direction, plain_zero_pa(m.record));
  sight.gust_pa = gust_pa;
  const StackLoad stack = stack_load(sight);
  const double load = std::hypot(stack.u_pa, kLoadOfGusts * gust_pa);
  const double of_gusts = kSpreadOfGusts * gust_pa * gust_pa;
  return {along(m.record.direction, stack.mean_pa), std::hypot(load, kGaugeZeroU),
          stack.spread_pa2 + of_gusts, std::hypot(stack.spread_u_pa2, kSpreadU * of_gusts)};
}

LoadPrior rough_load_prior(double stack_pa, double gust_pa) noexcept {
  const double load = std::hypot(kLoadOfStack * stack_pa, kLoadOfGusts * gust_pa);
  const double spread = kSpreadOfStack * stack_pa * stack_pa + kSpreadOfGusts * gust_pa * gust_pa;
  return {0, std::hypot(load, kGaugeZeroU), spread, kSpreadU * spread};
}

ScaleSlots scale_slots(const DirectionRecord& record) noexcept {
  ScaleSlots slots;
  slots.fill(-1);
  std::size_t used = 0;
  const auto scales = static_cast<std::size_t>(scales_of(record));
  for (const StationRecord& s : record.stations) {
    const bool known = std::find(slots.begin(), slots.end(), s.restriction) != slots.end();
    if (!known && used < scales) slots[used++] = s.restriction;
  }
  return slots;
}

void joint_rows(const JointModel& m, const JointPoint& at, JointRows& rows) noexcept {
  const ScaleSlots slots = scale_slots(m.record);
  const double reading_u = reading_u_pa(m.record);
  const auto take_reading = [&](const BaselineRecord& reading, int part, int where) {
    for_baseline(m, reading, part, reading_u, [&](const GustBlock& block) {
      rows.push_back({block, where, 0});
    });
  };
  const auto take_stations = [&](int part) {
    for (std::size_t i = 0; i < m.record.stations.size(); ++i) {
      const StationRecord& station = m.record.stations[i];
      if (station.part != part || !station.usable()) continue;
      const double pressure_pa = design_pressure(m, station);
      const int slot = slot_of(slots, scales_of(m.record), station.restriction);
      for_station(m, station, at, slot, reading_u, [&](const GustBlock& block) {
        rows.push_back({block, static_cast<int>(i), pressure_pa});
      });
    }
  };
  for (int part = 1; part <= static_cast<int>(m.record.kept.size()); ++part) {
    take_reading(m.record.kept[static_cast<std::size_t>(part) - 1].before, part, JointRow::kBefore);
    take_stations(part);
  }
  take_reading(m.record.before, 0, JointRow::kBefore);
  take_stations(0);
  take_reading(m.record.after, 0, JointRow::kAfter);
}

GustRow joint_prior_u(const JointModel& m, const LoadPrior& load) noexcept {
  GustRow u = GustRow::Constant(1 / std::sqrt(kVague));
  if (m.exponent.used) u[kN] = m.exponent.u;
  u[kLoad] = load.load_pa;
  u[kSpread] = load.spread_u_pa2 + 1e-6;
  u[kSignalZero] = signal_drift(m.record).u_pa;
  u[kStorage] = kStorageU;
  const ScaleSlots slots = scale_slots(m.record);
  for (int i = 0; i < scales_of(m.record); ++i) {
    const double scale = scale_u(m.record, slots[static_cast<std::size_t>(i)]);
    u[kScale + i] = scale > 0 ? scale : 1.0;
  }
  return u;
}

double plain_zero_pa(const DirectionRecord& r) noexcept {
  return along(r.direction, r.after.taken ? 0.5 * (r.before.mean_pa + r.after.mean_pa) : r.before.mean_pa);
}

JointPosterior joint_posterior(const JointModel& m, const JointRows& rows, const JointPoint& at,
                               const GustProcess& gusts) noexcept {
  JointPosterior out;
  const LoadPrior load = load_prior(m, gusts.sd_pa);
  GustSums sums = sums_for(rows, gusts, load);
  out.prior_u = joint_prior_u(m, load);
  const GustRow precision = out.prior_u.array().square().inverse();
  const double n_off = m.exponent.n - at.n;
  if (m.exponent.used) {
    sums.xy[kN] += precision[kN] * n_off;
    sums.yy += precision[kN] * n_off * n_off;
  }
  sums.xx.diagonal() += precision;
  const Eigen::LLT<GustNormal> factor(sums.xx);
  if (factor.info() != Eigen::Success) return out;
  out.mean = factor.solve(sums.xy);
  out.covariance = factor.solve(GustNormal::Identity());
  const double ln_det = 2 * factor.matrixL().toDenseMatrix().diagonal().array().log().sum();
  const double ln_prior = 2 * out.prior_u.array().log().sum();
  const double misfit = sums.yy - sums.xy.dot(out.mean);
  out.ln_weight = -0.5 * (sums.ln_variance + ln_det + ln_prior + misfit) + ln_gust_prior(gusts);
  out.ok = std::isfinite(out.ln_weight) && out.mean.allFinite();
  return out;
}

}  // namespace leeward::control
