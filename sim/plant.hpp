#pragma once

#include <array>
#include <cstdint>

#include "control/signs.hpp"
#include "sim/drive.hpp"
#include "sim/fan_duty.hpp"
#include "sim/gauge.hpp"
#include "sim/house_spec.hpp"
#include "sim/plant_event.hpp"
#include "sim/readings.hpp"
#include "sim/wind.hpp"
#include "sim/zone.hpp"

namespace leeward::sim {

/// A house with fans and gauges in the wind, one value: copy it and both go on alike.
///
/// At the start the fans are off and covered, with the restriction that their file names, blow out,
/// and the house is at rest in its wind. A step call is one sample: a command acts from the step call
/// after the next, noise is drawn once a call.
///
/// Units    SI; building pressure is indoor minus outdoor
/// Range    every input is taken: what is not finite counts as 0, what is beyond its range is cut;
///          pressures stay within +-3000 Pa (a house would break before)
/// Errors   none; no allocation, clock or lock in any member but the constructor
class Plant {
 public:
  explicit Plant(const HouseSpec& house, std::uint64_t seed = 1);

  /// Goes on by dt_s, in parts of at most 0.1 s. Nothing happens unless 0 < dt_s <= 3600.
  void step(double dt_s);

  /// The drive's inputs. Not enabled: coasts to a stand whatever the demand.
  void set_command(double demand_frac, bool enabled, int fan = 0);

  void set_covered(bool covered, int fan = 0);
  /// @param restriction  index into the fan's restrictions; none such: stays as it is
  void set_fitted(int restriction, int fan = 0);
  /// All fans are turned round.
  void set_direction(control::Direction direction);
  /// @param size  see Event; 0 = the usual size
  /// @param fan   for events of a fan
  void set_event(Event event, bool on, double size = 0, int fan = 0);

  /// What the gauges read at the end of the last step.
  [[nodiscard]] Measurement measure() const;
  [[nodiscard]] Truth truth() const;
  [[nodiscard]] const HouseSpec& house() const { return house_; }
  [[nodiscard]] int fan_count() const { return static_cast<int>(house_.fans.size()); }
  /// No such fan: covered, and no restriction (-1).
  [[nodiscard]] bool covered(int fan = 0) const { return !has(fan) || at(fan).covered; }
  [[nodiscard]] int fitted(int fan = 0) const { return has(fan) ? at(fan).fitted : -1; }
  [[nodiscard]] control::Direction direction() const { return direction_; }

 private:
  struct Fan {
    FanDuty duty;
    Drive drive;
    Gauge gauge;
    bool covered = true;
    bool stalled = false;
    int fitted = 0;
    double blocked_part = 0;
    double waiting_frac = 0;  ///< the last command, acts from the next step call on
    double acting_frac = 0;
    double mean_speed_frac = 0;  ///< over the last part of a step
    double offset_pa = 0;        ///< stack less wind at the opening
    DutyPoint point;
    double signal_pa = 0;
  };
  [[nodiscard]] bool has(int fan) const { return fan >= 0 && fan < fan_count(); }
  [[nodiscard]] Fan& at(int fan) { return fans_[static_cast<std::size_t>(fan)]; }
  [[nodiscard]] const Fan& at(int fan) const { return fans_[static_cast<std::size_t>(fan)]; }
  [[nodiscard]] std::size_t fans() const { return house_.fans.size(); }
  using Pressures = std::array<double, kWindPlaces>;
  void advance(double dt_s);
  [[nodiscard]] Pressures dynamic_pressures_pa() const;
  void feel_wind(const Pressures& dynamic_pa);
  void find_rest();
  [[nodiscard]] double at_rest_pa() const;
  [[nodiscard]] double building_pressure_pa(double zone_pa) const;
  [[nodiscard]] Outflow outflow(double zone_pa);
  void set_fan(Fan& fan);
  void set_building_gauge_event(Event event, bool on, double amount);

  HouseSpec house_;
  Air air_;
  Zone zone_;
  Wind wind_;
  double kg_pa_ = 0;  ///< mass that the zone takes up per pascal
  std::array<Fan, kMaxFans> fans_{};
  Gauge building_gauge_;
  control::Direction direction_ = control::Direction::depressurize;
  double exhaust_m3_s_ = 0;
  double zone_pa_ = 0;
  double solved_pa_ = 0;  ///< where the fans' duty points were found last
  double rest_pa_ = 0;    ///< building pressure at rest in the mean wind
  double tap_wind_pa_ = 0;
  double time_s_ = 0;
  double since_tick_s_ = 0;
};

}  // namespace leeward::sim
