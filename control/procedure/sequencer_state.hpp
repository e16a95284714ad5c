#pragma once
/// Where the sequencer stands inside a phase.

#include <array>
#include <cstdint>

#include "control/analysis/move_lag.hpp"
#include "control/analysis/window_blocks.hpp"
#include "control/ask.hpp"
#include "control/estimate/house_curve.hpp"
#include "control/procedure/drive_experiment.hpp"
#include "control/sample.hpp"
#include "control/signal/averager.hpp"

namespace leeward::control {

enum class StationStep : std::uint8_t { travel, average };
/// Work at the fan that waits for the wheel to come to rest before the crew is asked.
enum class HandsWork : std::uint8_t { none, fit, cover };

/// Averages that are taken over one and the same window.
struct Averages {
  Averager pressure_pa;  ///< signed, measured
  Averager flow_m3_s;    ///< total, as read
  Averager demand_frac;
  std::array<Averager, kMaxFans> signal_pa;
  std::array<double, kMaxFans> signal_step_pa{};  ///< least reading above 0: near it, a step of the gauge
  std::int64_t begin_ns = 0;
  double elapsed_s = 0;
  WindowBlocks blocks;
  double planned_s = 0;  ///< how long the window shall be, as known so far
  bool operator==(const Averages&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("pressure_pa", &Averages::pressure_pa);
    v("flow_m3_s", &Averages::flow_m3_s);
    v("demand_frac", &Averages::demand_frac);
    v("signal_pa", &Averages::signal_pa);
    v("signal_step_pa", &Averages::signal_step_pa);
    v("begin_ns", &Averages::begin_ns);
    v("elapsed_s", &Averages::elapsed_s);
    v("blocks", &Averages::blocks);
    v("planned_s", &Averages::planned_s);
  }
};

struct SequencerState {
  double phase_s = 0;             ///< time in this phase, pauses and hands at the fan left out
  double settled_s = 0;           ///< time inside the tolerance without a break
  double saturated_s = 0;         ///< time at full demand below the target
  double saturated_from_pa = 0;   ///< smoothed pressure when that time began
  double smooth_induced_pa = 0;   ///< induced pressure, low-passed
  double smooth_signal_pa = 0;    ///< of the first fan, low-passed
  double smooth_demand_frac = 0;  ///< demand, low-passed over gusts
  bool asked = false;             ///< the phase has put its question
  Averages averages;
  // travel between stations
  std::int32_t direction_index = 0;
  std::int32_t station = 0;
  std::int32_t first_station = 0;  ///< of this direction; those before it were kept from an earlier part
  StationStep step = StationStep::travel;
  double step_s = 0;
  MoveLag move;              ///< since the travel began
  double kept_frac = 0;      ///< demand while a station is averaged at constant speed, or a hold keeps one
  double reachable_pa = 0;   ///< highest size that full demand reached; 0 = not met with
  std::int32_t retakes = 0;  ///< of this station, after a change of restriction
  HandsWork waiting = HandsWork::none;
  // a change of restriction in progress
  bool fit_open = false;
  std::int32_t fit_wanted = 0;
  FitPromise fit_promise{};
  std::int32_t fits = 0;
  bool verify = false;  ///< the last change has not been confirmed by the signal
  double verify_s = 0;
  bool refit_asked = false;
  HouseCurve house_at_fit;
  double closer_look_pa = 0;  ///< on the way up, where the first look left the restriction open; 0: none
  // holds outside a run, and pauses inside
  double hold_left_s = 0;
  double hold_rate_pa_s = 0;
  bool paused = false;
  double paused_at_pa = 0;
  bool returns = false;       ///< on the way up again after the pressure was low for want of a sign of life
  double waited_s = 0;        ///< with the fan running for a person: a pause, or an open look-round
  bool restore_due = false;   ///< a restore list was put aside for something done by hand
  bool learns_drive = false;  ///< the baseline by hand that goes on is the experiment's
  bool learnt_drive = false;  ///< this run has had its experiment
  DriveExperimentState experiment;
  bool operator==(const SequencerState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("phase_s", &SequencerState::phase_s);
    v("settled_s", &SequencerState::settled_s);
    v("saturated_s", &SequencerState::saturated_s);
    v("saturated_from_pa", &SequencerState::saturated_from_pa);
    v("smooth_induced_pa", &SequencerState::smooth_induced_pa);
    v("smooth_signal_pa", &SequencerState::smooth_signal_pa);
    v("smooth_demand_frac", &SequencerState::smooth_demand_frac);
    v("asked", &SequencerState::asked);
    v("averages", &SequencerState::averages);
    v("direction_index", &SequencerState::direction_index);
    v("station", &SequencerState::station);
    v("first_station", &SequencerState::first_station);
    v("step", &SequencerState::step);
    v("step_s", &SequencerState::step_s);
    v("move", &SequencerState::move);
    v("kept_frac", &SequencerState::kept_frac);
    v("reachable_pa", &SequencerState::reachable_pa);
    v("retakes", &SequencerState::retakes);
    v("waiting", &SequencerState::waiting);
    v("fit_open", &SequencerState::fit_open);
    v("fit_wanted", &SequencerState::fit_wanted);
    v("fit_promise", &SequencerState::fit_promise);
    v("fits", &SequencerState::fits);
    v("verify", &SequencerState::verify);
    v("verify_s", &SequencerState::verify_s);
    v("refit_asked", &SequencerState::refit_asked);
    v("house_at_fit", &SequencerState::house_at_fit);
    v("closer_look_pa", &SequencerState::closer_look_pa);
    v("hold_left_s", &SequencerState::hold_left_s);
    v("hold_rate_pa_s", &SequencerState::hold_rate_pa_s);
    v("paused", &SequencerState::paused);
    v("paused_at_pa", &SequencerState::paused_at_pa);
    v("returns", &SequencerState::returns);
    v("waited_s", &SequencerState::waited_s);
    v("restore_due", &SequencerState::restore_due);
    v("learns_drive", &SequencerState::learns_drive);
    v("learnt_drive", &SequencerState::learnt_drive);
    v("experiment", &SequencerState::experiment);
  }
};

}  // namespace leeward::control
