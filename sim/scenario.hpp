#pragma once
/// What happens when: events of a plant by the clock.

#include <cstddef>

#include "control/fixed_vector.hpp"
#include "sim/plant.hpp"

namespace leeward::sim {

struct ScriptedEvent {
  double at_s = 0;
  Event event = Event::door_open;
  bool on = true;
  double size = 0;  ///< 0 = the usual size
  int fan = 0;
  bool operator==(const ScriptedEvent&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("at_s", &ScriptedEvent::at_s);
    v("event", &ScriptedEvent::event);
    v("on", &ScriptedEvent::on);
    v("size", &ScriptedEvent::size);
    v("fan", &ScriptedEvent::fan);
  }
};
using Scenario = control::FixedVector<ScriptedEvent, 32>;

/// Switches what is due after one time and up to another; events at 0 are due from the first call on,
/// where `after_s` is below 0.
inline void play(const Scenario& scenario, double after_s, double to_s, Plant& plant) {
  for (const ScriptedEvent& scripted : scenario)
    if (scripted.at_s > after_s && scripted.at_s <= to_s)
      plant.set_event(scripted.event, scripted.on, scripted.size, scripted.fan);
}

}  // namespace leeward::sim
