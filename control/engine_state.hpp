#pragma once
/// All that the engine remembers, as one value that can be copied, compared and stored.

#include <array>
#include <cstdint>

#include "control/analysis/gust_filter.hpp"
#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"
#include "control/ask.hpp"
#include "control/estimate/drive_found.hpp"
#include "control/estimate/fan_map.hpp"
#include "control/estimate/house_curve.hpp"
#include "control/estimate/plant_filter.hpp"
#include "control/fixed_vector.hpp"
#include "control/guard/guard.hpp"
#include "control/guard/presence.hpp"
#include "control/phase.hpp"
#include "control/procedure/sequencer_state.hpp"
#include "control/regulate/supervisor.hpp"
#include "control/request.hpp"
#include "control/sample.hpp"
#include "control/signal/screen.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxAsks = 32;

/// What the crew has done to a fan, as they told us.
struct FanSetup {
  int fitted = 0;  ///< index into the fan's restrictions
  bool covered = false;
  bool operator==(const FanSetup&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("fitted", &FanSetup::fitted);
    v("covered", &FanSetup::covered);
  }
};

struct EngineState {
  std::int64_t now_ns = 0;
  bool started = false;  ///< a sample has been seen
  Phase phase = Phase::idle;
  RunState run_state = RunState::none;
  Direction direction = Direction::depressurize;
  std::int64_t next_ask_id = 1;
  FixedVector<Ask, kMaxAsks> asks;
  std::array<FanSetup, kMaxFans> fans;
  Direction fans_blow = Direction::depressurize;  ///< which way they stand, as the crew told us
  bool has_zero_flow = false;
  double zero_flow_pa = 0;  ///< signed, the reference of the induced pressure
  double zero_flow_sd_pa = 0;
  GustProcess gusts;                              ///< behind the last zero-flow reading
  std::array<double, kMaxFans> signal_zero_pa{};  ///< of each fan-side sensor, fan covered and still
  double target_pa = 0;
  double countdown_s = 0;
  double volume_m3 = 0;          ///< 0: not told
  bool look_round_done = false;  ///< in this run and direction
  ScreenState pressure_screen;
  std::array<ScreenState, kMaxFans> signal_screens;
  std::int32_t sensors_lost = 0;  ///< bit 0 building pressure, bit 1.. fan signals
  double induced_pa = 0;          ///< last accepted, size along the direction
  double pressure_rate_pa_s = 0;  ///< of the induced pressure, smoothed
  double applied_frac = 0;        ///< demand of the last tick
  double slewed_frac = 0;         ///< what a nominal drive has made of it: after the slew limit
  double followed_frac = 0;       ///< ... and after the lag
  double sure_slewed_frac = 0;    ///< the same of the slowest drive there is: what has surely been followed
  double sure_frac = 0;
  double still_s = 0;          ///< since when the wheel has been at rest, by the nominal drive
  double standstill_frac = 0;  ///< followed_frac when the raw pressure last changed
  bool demand_at_limit = false;
  LimitedBy limited_by = LimitedBy::nothing;  ///< by the guard, in the last tick
  HouseCurve house;
  FanMap fan_map;
  PlantFilter plant;
  Direction plant_direction = Direction::depressurize;  ///< that the filter is of
  DriveFound drive;  ///< told while running; known: goes before the config's
  SequencerState sequencer;
  SupervisorState regulator;
  GuardState guard;
  PresenceState presence;
  RunSpec run;
  RunRecord record;
  RunResult result;
  bool operator==(const EngineState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("now_ns", &EngineState::now_ns);
    v("started", &EngineState::started);
    v("phase", &EngineState::phase);
    v("run_state", &EngineState::run_state);
    v("direction", &EngineState::direction);
    v("next_ask_id", &EngineState::next_ask_id);
    v("asks", &EngineState::asks);
    v("fans", &EngineState::fans);
    v("fans_blow", &EngineState::fans_blow);
    v("has_zero_flow", &EngineState::has_zero_flow);
    v("zero_flow_pa", &EngineState::zero_flow_pa);
    v("gusts", &EngineState::gusts);
    v("zero_flow_sd_pa", &EngineState::zero_flow_sd_pa);
    v("signal_zero_pa", &EngineState::signal_zero_pa);
    v("target_pa", &EngineState::target_pa);
    v("countdown_s", &EngineState::countdown_s);
    v("volume_m3", &EngineState::volume_m3);
    v("look_round_done", &EngineState::look_round_done);
    v("pressure_screen", &EngineState::pressure_screen);
    v("signal_screens", &EngineState::signal_screens);
    v("sensors_lost", &EngineState::sensors_lost);
    v("induced_pa", &EngineState::induced_pa);
    v("pressure_rate_pa_s", &EngineState::pressure_rate_pa_s);
    v("applied_frac", &EngineState::applied_frac);
    v("slewed_frac", &EngineState::slewed_frac);
    v("followed_frac", &EngineState::followed_frac);
    v("sure_slewed_frac", &EngineState::sure_slewed_frac);
    v("sure_frac", &EngineState::sure_frac);
    v("still_s", &EngineState::still_s);
    v("standstill_frac", &EngineState::standstill_frac);
    v("demand_at_limit", &EngineState::demand_at_limit);
    v("limited_by", &EngineState::limited_by);
    v("house", &EngineState::house);
    v("fan_map", &EngineState::fan_map);
    v("plant", &EngineState::plant);
    v("plant_direction", &EngineState::plant_direction);
    v("drive", &EngineState::drive);
    v("sequencer", &EngineState::sequencer);
    v("regulator", &EngineState::regulator);
    v("guard", &EngineState::guard);
    v("presence", &EngineState::presence);
    v("run", &EngineState::run);
    v("record", &EngineState::record);
    v("result", &EngineState::result);
  }
};

}  // namespace leeward::control
