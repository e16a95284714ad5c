#pragma once
/// How well the gauge of the building pressure keeps its scale, where a rig file or a command says so.

#include "control/engine_config.hpp"
#include "daemon/config/key_rules.hpp"

namespace leeward::daemon {

inline constexpr NumberKey<control::EngineConfig> kGaugeAccuracyKey{
    {"building_gauge_accuracy_frac", 0, 0.1, false, "",
     "largest error of the building pressure's gauge as a part of its reading; 0 leaves it out"},
    &control::EngineConfig::building_gauge_accuracy_frac};

/// Where nothing is said of a real gauge. 1 % of the reading is what ANSI/RESNET/ICC 380 asks for (from
/// memory) and what many data sheets state (common practice, no source).
inline constexpr double kUsualGaugeAccuracyFrac = 0.01;

}  // namespace leeward::daemon
