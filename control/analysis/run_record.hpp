#pragma once
/// What the sequencer hands to the analysis: averages, never raw samples. Pressures are signed
/// (indoor minus outdoor), flows are as read from the calibration, at its density.

#include <cstdint>

#include "control/analysis/move_lag.hpp"
#include "control/analysis/window_blocks.hpp"
#include "control/fixed_text.hpp"
#include "control/fixed_vector.hpp"
#include "control/physics/fan_spec.hpp"
#include "control/procedure/building_spec.hpp"
#include "control/procedure/procedure_spec.hpp"
#include "control/signs.hpp"

namespace leeward::control {

/// Zero-flow pressure over one averaging period.
struct BaselineRecord {
  bool taken = false;
  std::int64_t begin_ns = 0;
  std::int64_t end_ns = 0;
  int samples = 0;
  double mean_pa = 0;
  double positive_mean_pa = 0;  ///< mean of the samples above 0; 0 where there is none
  double negative_mean_pa = 0;
  double sd_pa = 0;           ///< of the samples
  double mean_se_pa = 0;      ///< standard error of the mean, corrected for autocorrelation
  bool signal_known = false;  ///< whether the first fan's signal showed where its zero stands
  double signal_pa = 0;       ///< ... and where: that of the reading before is taken off all signals
  double signal_sd_pa = 0;    ///< of its samples, cut off at 0
  WindowBlocks blocks = {};
  bool operator==(const BaselineRecord&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("taken", &BaselineRecord::taken);
    v("begin_ns", &BaselineRecord::begin_ns);
    v("end_ns", &BaselineRecord::end_ns);
    v("samples", &BaselineRecord::samples);
    v("mean_pa", &BaselineRecord::mean_pa);
    v("positive_mean_pa", &BaselineRecord::positive_mean_pa);
    v("negative_mean_pa", &BaselineRecord::negative_mean_pa);
    v("sd_pa", &BaselineRecord::sd_pa);
    v("mean_se_pa", &BaselineRecord::mean_se_pa);
    v("signal_known", &BaselineRecord::signal_known);
    v("signal_pa", &BaselineRecord::signal_pa);
    v("signal_sd_pa", &BaselineRecord::signal_sd_pa);
    v("blocks", &BaselineRecord::blocks);
  }
};

/// One pressure station.
struct StationRecord {
  double target_pa = 0;  ///< induced size asked for
  std::int64_t begin_ns = 0;
  std::int64_t end_ns = 0;
  int samples = 0;
  double pressure_mean_pa = 0;  ///< measured, signed, not zero-flow corrected
  double pressure_sd_pa = 0;
  double pressure_mean_se_pa = 0;  ///< corrected for autocorrelation
  double flow_mean_m3_s = 0;       ///< sum of all fans, as read (calibration density)
  double flow_mean_se_m3_s = 0;
  double flow_k_relative_u = 0;  ///< calibration, relative
  double signal_mean_pa = 0;     ///< first fan
  int restriction = 0;           ///< first fan, index
  double demand_mean_frac = 0;
  bool signal_in_range = true;  ///< every fan's mean signal inside its restriction's valid range
  bool settled = true;          ///< false: taken at the highest pressure that could be reached
  int part = 0;                 ///< 0: of this recording; else kept from an earlier part, its number from 1
  WindowBlocks blocks = {};
  MoveLag move = {};  ///< on the way to it, since the last change of restriction
  /// Whether every block has a flow, so that its logarithm exists.
  [[nodiscard]] bool usable() const {
    for (const BlockMean& b : blocks.means)
      if (!(b.flow_m3_s > 0)) return false;
    return !blocks.means.empty();
  }
  bool operator==(const StationRecord&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("target_pa", &StationRecord::target_pa);
    v("begin_ns", &StationRecord::begin_ns);
    v("end_ns", &StationRecord::end_ns);
    v("samples", &StationRecord::samples);
    v("pressure_mean_pa", &StationRecord::pressure_mean_pa);
    v("pressure_sd_pa", &StationRecord::pressure_sd_pa);
    v("pressure_mean_se_pa", &StationRecord::pressure_mean_se_pa);
    v("flow_mean_m3_s", &StationRecord::flow_mean_m3_s);
    v("flow_mean_se_m3_s", &StationRecord::flow_mean_se_m3_s);
    v("flow_k_relative_u", &StationRecord::flow_k_relative_u);
    v("signal_mean_pa", &StationRecord::signal_mean_pa);
    v("restriction", &StationRecord::restriction);
    v("demand_mean_frac", &StationRecord::demand_mean_frac);
    v("signal_in_range", &StationRecord::signal_in_range);
    v("settled", &StationRecord::settled);
    v("part", &StationRecord::part);
    v("blocks", &StationRecord::blocks);
    v("move", &StationRecord::move);
  }
};

/// How often a run can be taken up again within one direction: each part has a zero-flow error of its own.
inline constexpr std::size_t kMaxKeptParts = 2;

/// What belongs to the stations that are kept from an earlier part of the run: they are corrected by its
/// zero-flow pressure and its air, not by those of the part that followed.
struct KeptPart {
  BaselineRecord before;  ///< it broke off, so there is none after
  ConditionsSpec conditions;
  bool operator==(const KeptPart&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("before", &KeptPart::before);
    v("conditions", &KeptPart::conditions);
  }
};

struct DirectionRecord {
  Direction direction = Direction::depressurize;
  BaselineRecord before;
  BaselineRecord after;
  bool kept_whole = false;    ///< finished before the run was taken up: measured in `conditions`
  ConditionsSpec conditions;  ///< only where kept_whole; else those of the run hold
  FixedVector<KeptPart, kMaxKeptParts> kept;  ///< the oldest first; the stations name them by their part
  FixedVector<StationRecord, kMaxStations> stations;
  bool operator==(const DirectionRecord&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("direction", &DirectionRecord::direction);
    v("before", &DirectionRecord::before);
    v("after", &DirectionRecord::after);
    v("kept_whole", &DirectionRecord::kept_whole);
    v("conditions", &DirectionRecord::conditions);
    v("kept", &DirectionRecord::kept);
    v("stations", &DirectionRecord::stations);
  }
};

/// The recording that this one goes on from; no run id: it is a run from the start.
struct Continuation {
  Name run_id;
  FixedText<64> sha256;  ///< of its file, hexadecimal
  double age_s = 0;      ///< from its last reading to the request that took it up
  bool operator==(const Continuation&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("run_id", &Continuation::run_id);
    v("sha256", &Continuation::sha256);
    v("age_s", &Continuation::age_s);
  }
};

struct RunRecord {
  Continuation continues;
  ProcedureSpec procedure;
  BuildingSpec building;
  ConditionsSpec conditions;
  double calibration_density_kg_m3 = 1.2041;
  /// Largest error of the building pressure's gauge as a part of its reading, as its data sheet states it:
  /// one scale for all stations. 0: not stated, the intervals leave it out.
  double building_gauge_accuracy_frac = 0;
  FanSpec fan;        ///< the first, as its file describes it
  int fan_count = 1;  ///< all alike
  FixedVector<DirectionRecord, 2> directions;
  bool operator==(const RunRecord&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("continues", &RunRecord::continues);
    v("procedure", &RunRecord::procedure);
    v("building", &RunRecord::building);
    v("conditions", &RunRecord::conditions);
    v("calibration_density_kg_m3", &RunRecord::calibration_density_kg_m3);
    v("building_gauge_accuracy_frac", &RunRecord::building_gauge_accuracy_frac);
    v("fan", &RunRecord::fan);
    v("fan_count", &RunRecord::fan_count);
    v("directions", &RunRecord::directions);
  }
};

}  // namespace leeward::control
