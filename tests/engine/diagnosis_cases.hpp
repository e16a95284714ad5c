#pragma once
/// Runs of the whole engine on random houses in which one thing goes wrong, for the diagnosis.

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "control/analysis/diagnosis.hpp"
#include "control/physics/standard_atmosphere.hpp"
#include "sim/random_house.hpp"
#include "sim/rng.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/mishaps.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {

struct DiagnosisCase {
  std::uint64_t seed = 1;
  double wind_m_s = 0;
  Mishap mishap = Mishap::none;
  bool natural = false;  ///< its size as it is met, not the least
  bool adaptive = false;
  control::DirectionChoice direction = control::DirectionChoice::depressurize;
};

struct DiagnosisRun {
  bool ended = false;     ///< with a result
  bool happened = false;  ///< the mishap
  double at_s = 0;        ///< when it began
  int station = -1;       ///< in or before which
  std::size_t in_direction = 0;
  StagedEvent event;
  double q50_m3_s = 0;  ///< of the house as prepared
  control::Trip trip;
  bool too_windy = false;
  bool out_of_reach = false;  ///< a station, after it happened
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
    out_.q50_m3_s = sim::true_q50_m3_s(house_);
    sim::Rng sizes(c.seed, 79);
    out_.event =
        c.natural ? natural_event(c.mishap, sign_, sizes) : least_event(c.mishap, out_.q50_m3_s, sign_);
    set_up();
  }

  DiagnosisRun run() {
    loop_.request(request());
    constexpr int most_ticks = 60000;
    for (int i = 0; i < most_ticks && !out_.ended; ++i) {
      (void)loop_.tick();
      const std::size_t events_before = events_seen_;
      events_seen_ = loop_.events().size();
      for (std::size_t e = events_before; e < events_seen_; ++e) note(loop_.events()[e]);
      out_.happened ? go_on() : happen();
      const control::Phase phase = loop_.state().phase;
      out_.ended = phase == control::Phase::result;
      if (i > 100 && (phase == control::Phase::tripped || phase == control::Phase::idle)) break;
    }
    out_.trip = loop_.state().guard.trip;
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

  void note(const control::Event& e) {
    out_.too_windy = out_.too_windy || e.kind == control::EventKind::too_windy;
    if (out_.happened && e.kind == control::EventKind::station_unreachable) out_.out_of_reach = true;
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
    if (from_the_start(case_.mishap)) begin();
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
    const bool now = from_the_first_station(case_.mishap) ? here() : due();
    if (!now || case_.mishap == Mishap::wrong_fit) return;
    out_.at_s = loop_.time_s();
    out_.station = loop_.state().sequencer.station;
    begin();
  }

  void begin() {
    out_.happened = case_.mishap != Mishap::wrong_start;
    if (out_.event.event != sim::Event::count)
      loop_.plant().set_event(out_.event.event, true, out_.event.size);
  }

  void go_on() {
    const double since_s = loop_.time_s() - out_.at_s;
    const bool over = (case_.mishap == Mishap::passing_opening && since_s > length_s_) ||
                      (case_.mishap == Mishap::drift_ramp && since_s > 80);
    if (over) loop_.plant().set_event(out_.event.event, false);
  }

  DiagnosisCase case_;
  sim::Rng rng_;
  sim::HouseSpec house_;
  ClosedLoop loop_;
  DiagnosisRun out_;
  int station_ = 0;
  double into_s_ = 0;
  double since_s_ = -1;
  double length_s_ = 0;
  int sign_ = 1;
  int other_ = 1;
  std::size_t events_seen_ = 0;
};

}  // namespace leeward::bench
