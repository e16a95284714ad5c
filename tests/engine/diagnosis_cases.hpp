#pragma once
/// Runs of the whole engine on random houses in which one thing goes wrong, for the diagnosis.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "control/analysis/diagnosis.hpp"
#include "control/physics/standard_atmosphere.hpp"
#include "sim/random_house.hpp"
#include "sim/rng.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {

/// What goes wrong, in its least size. "Inside the stations": 5 s or more after the first began to be
/// averaged and 8 s or more before the last ends.
enum class Mishap : std::uint8_t {
  none,
  opening,  ///< a sharp opening of 10 % of the flow at 50 Pa, from a random time inside the stations on
  passing_opening,  ///< the same, shut again after 20 to 60 s
  seal_off,         ///< 5 % of the flow at 50 Pa, likewise
  exhaust_fan,      ///< 5 % of q50, likewise
  wrong_fit,        ///< at a change of restriction between stations the crew fits a neighbour and keeps to it
  wrong_start,      ///< another restriction than the rig file names, and none is asked for
  drift_step,       ///< the zero-flow pressure shifts by 2 Pa at a random time inside the stations
  drift_ramp,       ///< the same slowly, in 80 s from the first station on
  tap_in_wind,      ///< the outdoor tube ends at a wall: pressure coefficient 0.6 or -0.6
  flap,             ///< a flap of 15 % of q50 that opens outwards, ever wider
  uneven_wind,      ///< 70 % of the leaks in the lee, the others windward, in twice the wind
  high_barometer,   ///< sea-level pressure stated at 800 to 3000 m
  wrong_volume,     ///< stated twice as large
  count
};
inline constexpr std::array<const char*, static_cast<std::size_t>(Mishap::count)> kMishapNames{
    "nothing",
    "opening",
    "opening, passing",
    "seal off",
    "exhaust fan",
    "wrong plate, change",
    "wrong plate, start",
    "drift, step",
    "drift, slow",
    "tap in wind",
    "flap",
    "uneven wind",
    "barometer",
    "volume"};

struct DiagnosisCase {
  std::uint64_t seed = 1;
  double wind_m_s = 0;
  Mishap mishap = Mishap::none;
  bool adaptive = false;
  control::DirectionChoice direction = control::DirectionChoice::depressurize;
};

struct DiagnosisRun {
  bool ended = false;     ///< with a result
  bool happened = false;  ///< the mishap
  double at_s = 0;        ///< when it began
  int station = -1;       ///< in or before which
  std::size_t in_direction = 0;
  control::RunRecord record;
  control::RunResult result;
};

inline control::ProcedureSpec adaptive_procedure() {
  control::ProcedureSpec p = ten_stations();
  p.baseline_s = 30;
  p.baseline_most_s = 90;
  p.station_average_s = 8;
  p.station_most_s = 30;
  return p;
}

/// Area of a sharp opening that passes a flow at 50 Pa, with the simulator's discharge of 0.6.
inline double opening_m2(double flow_m3_s) { return flow_m3_s / (0.6 * std::sqrt(2 * 50 / 1.2041)); }

class DiagnosisStage {
 public:
  explicit DiagnosisStage(const DiagnosisCase& c)
      : case_(c), rng_(c.seed, 77), house_(house_of(c)), loop_(house_, c.seed) {
    const bool both = c.direction == control::DirectionChoice::both;
    out_.in_direction = both && rng_.uniform() < 0.5 ? 1 : 0;
    station_ = static_cast<int>(rng_.uniform(0, 11));
    into_s_ = rng_.uniform(0, 35);
    length_s_ = rng_.uniform(20, 60);
    sign_ = rng_.uniform() < 0.5 ? -1 : 1;
    other_ = rng_.uniform() < 0.5 ? -1 : 1;
    q50_m3_s_ = sim::true_q50_m3_s(house_);
    set_up();
  }

  DiagnosisRun run() {
    loop_.request(request());
    constexpr int most_ticks = 60000;
    for (int i = 0; i < most_ticks && !out_.ended; ++i) {
      (void)loop_.tick();
      out_.happened ? go_on() : happen();
      const control::Phase phase = loop_.state().phase;
      out_.ended = phase == control::Phase::result;
      if (i > 100 && (phase == control::Phase::tripped || phase == control::Phase::idle)) break;
    }
    out_.record = loop_.state().record;
    out_.result = loop_.state().result;
    return out_;
  }

 private:
  static sim::HouseSpec house_of(const DiagnosisCase& c) {
    sim::PopulationSpec population;
    population.wind_m_s = {c.wind_m_s, c.wind_m_s};
    population.tap_in_open = 1;
    population.altitude_m = {c.mishap == Mishap::high_barometer ? 800.0 : 0.0, 2500};
    sim::HouseSpec house = sim::random_house(c.seed, population);
    // Weather: +-3 % about the standard atmosphere.
    house.barometric_pa =
        control::standard_pressure(house.altitude_m).si() * sim::Rng(c.seed, 78).uniform(0.97, 1.03);
    if (c.mishap == Mishap::tap_in_wind) house.tap_cp = c.seed % 2 == 0 ? 0.6 : -0.6;
    if (c.mishap == Mishap::flap)
      house.leaks.push_back({.name = "flap",
                             .c_m3_s_pan = 0.15 * sim::true_q50_m3_s(house) / 50,
                             .n = 1,
                             .height_m = 1,
                             .outward_only = true});
    if (c.mishap == Mishap::uneven_wind) make_uneven(house);
    return house;
  }

  static void make_uneven(sim::HouseSpec& house) {
    house.wind.mean_m_s *= 2;
    double all = 0;
    for (const sim::LeakSpec& leak : house.leaks) all += leak.c_m3_s_pan;
    double windward = 0;
    for (sim::LeakSpec& leak : house.leaks) {
      const bool front = windward < 0.3 * all;
      windward += front ? leak.c_m3_s_pan : 0;
      leak.wind_cp = front ? 0.6 : -0.3;
    }
  }

  control::Request request() {
    control::Request r = start(case_.adaptive ? adaptive_procedure() : ten_stations(), house_.volume_m3,
                               house_.indoor_c, house_.outdoor_c, case_.direction);
    r.run.building.envelope_area_m2 = house_.envelope_area_m2;
    r.run.building.floor_area_m2 = house_.floor_area_m2;
    r.run.building.height_m = house_.height_m;
    r.run.conditions.altitude_m = house_.altitude_m;
    r.run.conditions.has_wind = true;
    r.run.conditions.wind_m_s = house_.wind.mean_m_s;
    r.run.conditions.has_barometric = true;
    const double sea_level =
        house_.barometric_pa / control::standard_pressure(house_.altitude_m).si() * 101325;
    r.run.conditions.barometric_pa =
        case_.mishap == Mishap::high_barometer ? sea_level : house_.barometric_pa;
    if (case_.mishap == Mishap::wrong_volume) r.run.building.volume_m3 *= 2;
    return r;
  }

  void set_up() {
    if (case_.direction == control::DirectionChoice::pressurize)
      loop_.plant().set_direction(control::Direction::pressurize);
    if (case_.mishap == Mishap::wrong_fit)
      loop_.fits = [this](int asked) {
        if (loop_.state().phase != control::Phase::stations ||
            loop_.state().record.directions.back().stations.empty())
          return asked;
        out_.happened = true;
        const int wrong = std::clamp(asked + other_, 0, 3);
        return wrong == asked ? asked - other_ : wrong;
      };
    if (case_.mishap == Mishap::wrong_start) {
      loop_.plant().set_fitted(1);
      out_.happened = true;
      loop_.fits = [this](int asked) {
        out_.happened = false;
        return asked;
      };
    }
  }

  [[nodiscard]] bool here() const {
    const control::EngineState& s = loop_.state();
    return static_cast<std::size_t>(s.sequencer.direction_index) == out_.in_direction &&
           (s.phase == control::Phase::stations || s.phase == control::Phase::closing_baseline);
  }

  /// Whether the moment has come.
  bool due() {
    const control::EngineState& s = loop_.state();
    if (!here()) return false;
    if (s.phase == control::Phase::closing_baseline || s.sequencer.station > station_) return true;
    if (s.sequencer.station < station_) return false;
    if (since_s_ < 0) since_s_ = loop_.time_s();
    const control::Averages& a = s.sequencer.averages;
    constexpr int last_station = 10;
    if (station_ == last_station && a.elapsed_s > 0 && a.elapsed_s > a.planned_s - 8) return true;
    if (station_ == 0 && a.elapsed_s < 5) return false;
    return loop_.time_s() - since_s_ >= into_s_;
  }

  void happen() {
    sim::Plant& plant = loop_.plant();
    const bool now = case_.mishap == Mishap::drift_ramp ? here() : due();
    if (!now || case_.mishap == Mishap::wrong_fit) return;
    out_.happened = case_.mishap != Mishap::wrong_start;
    out_.at_s = loop_.time_s();
    out_.station = loop_.state().sequencer.station;
    switch (case_.mishap) {
      case Mishap::opening:
      case Mishap::passing_opening:
        return plant.set_event(sim::Event::door_open, true, opening_m2(0.1 * q50_m3_s_));
      case Mishap::seal_off:
        return plant.set_event(sim::Event::door_open, true, opening_m2(0.05 * q50_m3_s_));
      case Mishap::exhaust_fan:
        return plant.set_event(sim::Event::exhaust_fan, true, 0.05 * q50_m3_s_);
      case Mishap::drift_step:
        return plant.set_event(sim::Event::building_water_in_tube, true, sign_ * 2);
      case Mishap::drift_ramp:
        return plant.set_event(sim::Event::building_gauge_drift, true, sign_ * 2.0 / 80 * 600);
      default:
        return;
    }
  }

  void go_on() {
    const double since_s = loop_.time_s() - out_.at_s;
    if (case_.mishap == Mishap::passing_opening && since_s > length_s_)
      loop_.plant().set_event(sim::Event::door_open, false);
    if (case_.mishap == Mishap::drift_ramp && since_s > 80)
      loop_.plant().set_event(sim::Event::building_gauge_drift, false);
  }

  DiagnosisCase case_;
  sim::Rng rng_;
  sim::HouseSpec house_;
  ClosedLoop loop_;
  DiagnosisRun out_;
  double q50_m3_s_ = 0;
  int station_ = 0;
  double into_s_ = 0;
  double since_s_ = -1;
  double length_s_ = 0;
  int sign_ = 1;
  int other_ = 1;
};

/// Whether a finding names what was staged.
inline bool names(const control::Finding& f, Mishap mishap) {
  using control::FindingKind;
  switch (mishap) {
    case Mishap::opening:
    case Mishap::passing_opening:
      return f.kind == FindingKind::opening;
    case Mishap::seal_off:
      return f.kind == FindingKind::seal_off;
    case Mishap::exhaust_fan:
      return f.kind == FindingKind::exhaust_fan;
    case Mishap::wrong_fit:
    case Mishap::wrong_start:
      return f.kind == FindingKind::wrong_restriction;
    case Mishap::drift_step:
    case Mishap::drift_ramp:
      return f.kind == FindingKind::zero_flow_drift;
    case Mishap::tap_in_wind:
      return f.kind == FindingKind::unshared_wind;
    case Mishap::flap:
    case Mishap::uneven_wind:
      return f.kind == FindingKind::exponent_shift;
    case Mishap::high_barometer:
      return f.kind == FindingKind::wrong_barometer;
    case Mishap::wrong_volume:
      return f.kind == FindingKind::wrong_floor_area || f.kind == FindingKind::wrong_envelope;
    default:
      return false;
  }
}

}  // namespace leeward::bench
