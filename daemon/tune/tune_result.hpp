#pragma once
/// What a tuning was asked for and what it found.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "control/engine_config.hpp"
#include "control/regulate/amigo.hpp"
#include "control/regulate/loop_margins.hpp"
#include "control/regulate/loop_trial.hpp"
#include "control/regulate/relay_identification.hpp"
#include "daemon/tune/tune_bench.hpp"

namespace leeward::daemon {

enum class TuneMethod : std::uint8_t { relay, step, model };
enum class TuneRule : std::uint8_t { simc, amigo, amigo_pid };

struct TuneOptions {
  control::EngineConfig rig;
  sim::HouseSpec house;
  std::uint64_t seed = 1;
  double pressure_pa = 50;
  double bound_pa = 5;  ///< of the pressure about the hold, in the experiment
  TuneMethod method = TuneMethod::relay;
  TuneRule rule = TuneRule::simc;
};

/// The hold from which an experiment starts, at a demand that is kept.
struct TuneRest {
  double demand_frac = 0;
  double pressure_pa = 0;
  double noise_pa = 0;  ///< standard deviation of the readings: gauge and gusts
};

/// The experiment as it went.
struct TuneExperiment {
  TuneRest rest;
  double amplitude_frac = 0;
  double hysteresis_pa = 0;  ///< of a relay
  std::optional<control::RelayMeasure> relay;
  double ultimate_gain = 0;   ///< by the describing function, for comparison; 0 without a relay
  double residual_pa = 0;     ///< of the fitted step
  double explained_frac = 0;  ///< of the step's variance
  double lasted_s = 0;
  double furthest_pa = 0;  ///< from the hold, as read
  TuneRecord record;
};

/// The regulator on the house with these gains: a hold, then a small step of the target.
struct HouseTrial {
  bool tripped = false;
  double unrest_pa = 0;              ///< standard deviation of the true pressure in the hold
  double overshoot_pa = 0;           ///< of the true pressure past the new target
  std::optional<double> settling_s;  ///< within 1 Pa of it from then on
};

struct TuneResult {
  /// As the loop sees it: delay of samples and drive included. With the model alone, of the learnt curves.
  control::LagModel model;
  control::IsaGains gains;
  control::LoopMargins margins;
  control::LoopTrial trial;
  std::optional<TuneExperiment> experiment;  ///< none with the model alone
  control::RegulatorSpec regulator;          ///< the rig's with the gains that were found
  HouseTrial before, after;
  std::vector<std::string> cautions;
};

}  // namespace leeward::daemon
