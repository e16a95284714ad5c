#include "control/procedure/averages.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/gust_estimate.hpp"
#include "control/physics/flow_element.hpp"

namespace leeward::control {

namespace {

constexpr double kNoStep = 1e-4;  // Pa: what is left of taking the zero off and adding it again

double planned(Length length, const GustProcess& gusts, double se_pa) {
  if (length.most_s <= length.least_s) return length.least_s;
  return std::clamp(seconds_for_mean_sd(gusts, se_pa), length.least_s, length.most_s);
}

}  // namespace

void plan_baseline(Scene& scene, Length length, double se_pa) noexcept {
  Averages& a = scene.state.sequencer.averages;
  const bool new_block = a.blocks.open_s == 0;
  if (a.planned_s > 0 && !new_block) return;  // the estimate is dear, and moves only with a block
  a.planned_s = planned(length, gusts_in(a.blocks, summary(a.pressure_pa).sd), se_pa);
}

void plan_station(Scene& scene, Length length, double se_pa) noexcept {
  scene.state.sequencer.averages.planned_s = planned(length, scene.state.gusts, se_pa);
}

bool averaged_enough(const Scene& scene) noexcept {
  const Averages& a = scene.state.sequencer.averages;
  return a.elapsed_s >= a.planned_s - 0.5 * scene.sight.dt_s;
}

void begin_averages(Scene& scene) noexcept {
  Averages& a = scene.state.sequencer.averages;
  a = Averages{};
  a.begin_ns = scene.state.now_ns;
}

void add_to_averages(Scene& scene) noexcept {
  const Sight& sight = scene.sight;
  Averages& a = scene.state.sequencer.averages;
  if (!sight.fresh || sight.dt_s <= 0) return;
  // The first sample stands for the time before it.
  if (a.elapsed_s <= 0)
    a.begin_ns = scene.state.now_ns - static_cast<std::int64_t>(std::llround(sight.dt_s * 1e9));
  add(a.pressure_pa, sight.pressure_signed_pa, sight.dt_s);
  add(a.demand_frac, sight.demand_frac, sight.dt_s);
  a.elapsed_s += sight.dt_s;
  if (!sight.flow_good) return;
  add(a.blocks, sight.pressure_signed_pa, sight.total_flow_m3_s, sight.dt_s);
  add(a.flow_m3_s, sight.total_flow_m3_s, sight.dt_s);
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i) {
    add(a.signal_pa[i], sight.signal_pa[i], sight.dt_s);
    const double read_pa = sight.signal_pa[i] + scene.state.signal_zero_pa[i];
    double& least_pa = a.signal_step_pa[i];
    if (read_pa > kNoStep && (least_pa == 0 || read_pa < least_pa)) least_pa = read_pa;
  }
}

ClampedZero signal_zero(const Scene& scene, std::size_t fan) noexcept {
  const AverageSummary seen = summary(scene.state.sequencer.averages.signal_pa[fan]);
  if (seen.count == 0) return {};
  return clamped_zero(seen.mean + scene.state.signal_zero_pa[fan], seen.sd,
                      scene.state.sequencer.averages.signal_step_pa[fan]);
}

BaselineRecord baseline_from(const Scene& scene) noexcept {
  const Averages& a = scene.state.sequencer.averages;
  const AverageSummary pressure = summary(a.pressure_pa);
  const ClampedZero signal = signal_zero(scene, 0);
  return {.taken = true,
          .begin_ns = a.begin_ns,
          .end_ns = scene.state.now_ns,
          .samples = static_cast<int>(pressure.count),
          .mean_pa = pressure.mean,
          .positive_mean_pa = pressure.positive_mean,
          .negative_mean_pa = pressure.negative_mean,
          .sd_pa = pressure.sd,
          .mean_se_pa = pressure.mean_se,
          .signal_known = signal.known,
          .signal_pa = signal.zero_pa,
          .signal_sd_pa = summary(a.signal_pa[0]).sd,
          .blocks = a.blocks};
}

StationRecord station_from(const Scene& scene, double target_pa, bool settled) noexcept {
  const EngineState& s = scene.state;
  const Averages& a = s.sequencer.averages;
  const AverageSummary pressure = summary(a.pressure_pa);
  const AverageSummary flow = summary(a.flow_m3_s);
  const auto fitted = static_cast<std::size_t>(s.fans[0].fitted);
  StationRecord record{.target_pa = target_pa,
                       .begin_ns = a.begin_ns,
                       .end_ns = s.now_ns,
                       .samples = static_cast<int>(pressure.count),
                       .pressure_mean_pa = pressure.mean,
                       .pressure_sd_pa = pressure.sd,
                       .pressure_mean_se_pa = pressure.mean_se,
                       .flow_mean_m3_s = flow.mean,
                       .flow_mean_se_m3_s = flow.mean_se,
                       .flow_k_relative_u = scene.config.fans[0].restrictions[fitted].k_relative_u,
                       .signal_mean_pa = summary(a.signal_pa[0]).mean,
                       .restriction = s.fans[0].fitted,
                       .demand_mean_frac = summary(a.demand_frac).mean,
                       .settled = settled,
                       .blocks = a.blocks,
                       .move = s.sequencer.move};
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i) {
    const auto kind = static_cast<std::size_t>(s.fans[i].fitted);
    const double signal = summary(a.signal_pa[i]).mean;
    if (signal_range(scene.config.fans[i].restrictions[kind], signal) != SignalRange::inside)
      record.signal_in_range = false;
  }
  return record;
}

}  // namespace leeward::control
