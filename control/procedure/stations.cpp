#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"
#include "control/procedure/averages.hpp"
#include "control/procedure/phases.hpp"
#include "control/procedure/refit.hpp"

namespace leeward::control {
namespace {

constexpr std::int32_t kMostRetakes = 2;   // of a station whose signal was out of range
constexpr double kKept = 0.003;            // of full demand, between what is kept and what the drive follows
constexpr double kKeptTime = 2.0;          // s more in gusts: a real drive may be slower than the nominal one
constexpr double kGustSettle = 5.0;        // s in strong gusts: the demand that is kept is their mean
constexpr double kLongestKeepWait = 15.0;  // s
constexpr double kGaugeResolution = 0.05;  // Pa: a mean is never better than that
constexpr double kLeastPressure = 5.0;     // Pa below which a station out of reach is not worth a reading

double target_of(const Scene& scene) {
  return scene.state.run.procedure.stations_pa[static_cast<std::size_t>(scene.state.sequencer.station)];
}

void travel_again(Scene& scene) {
  SequencerState& q = scene.state.sequencer;
  q.step = StationStep::travel;
  q.step_s = q.settled_s = q.saturated_s = 0;
  q.averages = Averages{};
  q.move = MoveLag{};
}

/// On to the next station that is not out of reach, or to the closing baseline.
void next_station(Scene& scene) {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const ProcedureSpec& p = s.run.procedure;
  const auto count = static_cast<std::int32_t>(p.stations_pa.size());
  do {
    ++q.station;
  } while (q.station < count && q.reachable_pa > 0 && target_of(scene) > q.reachable_pa);
  q.retakes = 0;
  travel_again(scene);
  if (q.station >= count) return enter_phase(scene, Phase::closing_baseline);
  scene.events.push_back({EventKind::station_begun, q.station, 0, target_of(scene), 0});
  (void)refit_if_better(scene, RefitCause::planned);
}

/// Standard error of the mean pressure that moves the flow by as much as the procedure allows.
double good_enough_pa(const Scene& scene) {
  const double wanted = scene.state.run.procedure.station_se_frac * target_of(scene);
  return std::max(kGaugeResolution, wanted / exponent(scene.state.house));
}

/// The fan has come to the speed that it keeps while the station is averaged.
bool fan_keeps(Scene& scene) {
  const EngineState& s = scene.state;
  SequencerState& q = scene.state.sequencer;
  if (!s.run.procedure.keep_speed || q.averages.elapsed_s > 0) return true;
  q.settled_s = std::abs(s.followed_frac - q.kept_frac) < kKept ? q.settled_s + scene.sight.dt_s : 0;
  // In still air the demand has hardly moved on the way to what is kept.
  if (q.settled_s < gust_share(s) * kKeptTime && q.step_s < kLongestKeepWait) return false;
  begin_averages(scene);
  return true;
}

void begin_average(Scene& scene) {
  SequencerState& q = scene.state.sequencer;
  q.step = StationStep::average;
  q.step_s = 0;
  q.kept_frac = q.smooth_demand_frac;
  q.settled_s = 0;
  begin_averages(scene);
}

/// The largest opening at full demand did not get there: say so, and measure what was reached.
void take_out_of_reach(Scene& scene) {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const bool first = q.reachable_pa <= 0;
  q.reachable_pa = std::max(1.0, q.smooth_induced_pa);
  scene.events.push_back(
      {EventKind::station_unreachable, q.station, 0, target_of(scene), q.smooth_induced_pa});
  if (first && q.smooth_induced_pa > kLeastPressure) return begin_average(scene);
  next_station(scene);
}

bool unreadable(const Scene& scene, const StationRecord& record) {
  return !record.signal_in_range && scene.state.sequencer.retakes < kMostRetakes;
}

void finish_station(Scene& scene) {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const bool reached = q.reachable_pa <= 0 || target_of(scene) <= q.reachable_pa;
  const StationRecord record =
      station_from(scene, target_of(scene),
                   reached && std::abs(q.smooth_induced_pa - target_of(scene)) <=
                                  2.0 * s.run.procedure.station_tolerance_pa + s.zero_flow_sd_pa);
  if (unreadable(scene, record)) {
    // A gust may have done it, and the next try succeeds: unless the house as learnt says otherwise, the crew
    // is sent only after a second failure.
    const bool tries_again = q.retakes == 0 && fitted_may_serve(scene);
    q.retakes += 1;
    travel_again(scene);
    if (tries_again || refit_if_better(scene, RefitCause::fitted_fails)) return;
  }
  if (s.record.directions.back().stations.push_back(record))
    scene.events.push_back({EventKind::station_done, q.station, 0,
                            std::abs(record.pressure_mean_pa - s.zero_flow_pa), record.flow_mean_m3_s});
  next_station(scene);
}

void step_travel(Scene& scene) {
  SequencerState& q = scene.state.sequencer;
  const ProcedureSpec& p = scene.state.run.procedure;
  verify_fit(scene);
  if (scene.sight.fresh && scene.sight.flow_good)
    add(q.move, scene.sight.induced_pa, scene.sight.total_flow_m3_s, scene.sight.dt_s);
  if (out_of_breath(scene, target_of(scene))) {
    if (!refit_if_better(scene, RefitCause::fitted_fails)) take_out_of_reach(scene);
    return;
  }
  const double settle_s = std::max(p.station_settle_s, gust_share(scene.state) * kGustSettle);
  const bool there = settled_for(scene, target_of(scene), p.station_tolerance_pa, settle_s);
  if (there || q.step_s > p.station_max_wait_s) begin_average(scene);
}

}  // namespace

Want step_stations(Scene& scene) noexcept {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  Want want{true, target_of(scene)};
  if (hands_at_fan(s)) {
    note_hands_at_fan(scene);
    q.move = MoveLag{};
    return want;
  }
  if (q.step == StationStep::travel) {
    step_travel(scene);
  } else {
    if (s.run.procedure.keep_speed) want.keep_frac = q.kept_frac;
    if (fan_keeps(scene)) add_to_averages(scene);
    plan_station(scene, {s.run.procedure.station_average_s, s.run.procedure.station_most_s},
                 good_enough_pa(scene));
    if (averaged_enough(scene)) finish_station(scene);
  }
  return want;
}

}  // namespace leeward::control
