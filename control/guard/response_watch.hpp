#pragma once
/// Does the building's pressure follow the fan? Looks at what the fan's own signal and the learnt house say
/// it makes, at what is read, and at how restless the reading is in the wind that is seen.

#include <cstdint>

namespace leeward::control {

/// What the fan makes, as induced sizes along the direction, and what is read of it.
struct ResponseSight {
  double dt_s = 0;
  bool applies = false;   ///< driven, with a zero-flow pressure
  bool fresh = false;     ///< something has been read
  double reading_pa = 0;  ///< as the gauge shows it, along the direction
  double induced_pa = 0;
  double sure_pa = 0;      ///< what even the slowest drive must be making by now
  double likely_pa = 0;    ///< the same if the drive is as quick as it is taken for
  double most_pa = 0;      ///< what it may make at the most
  double house_pa = 0;     ///< what the learnt house takes to pass the flow, low side; 0: not learnt
  bool blows = false;      ///< the fan-side signal shows air, and the drive has surely begun
  bool stands = false;     ///< it shows none
  double unrest_pa = 0;    ///< standard deviation of the zero-flow pressure
  double gust_pa = 0;      ///< the same as a process in time: what short readings miss is in it ...
  double gust_time_s = 0;  ///< ... and its integral time
};

struct ResponseWatch {
  double block_s = 0;  ///< the block of readings that is being summed up
  double block_pa_s = 0;
  double block_pa2_s = 0;
  double restless_pa = 1e9;  ///< standard deviation of the readings in the last whole block
  double level_pa = 0;       ///< ... and their mean
  bool has_start = false;
  double start_pa = 0;    ///< that mean when the fan had hardly begun
  double made_pa = 0;     ///< by the fan, as far as it is sure
  bool answered = false;  ///< since the fan last stood, the building has followed it
  double answering_s = 0;
  double unfelt_s = 0;       ///< a likely pressure has not been read for so long ...
  double sure_unfelt_s = 0;  ///< ... and a sure one
  double gap_pa_s = 0;       ///< between what must be and what is read, summed up since then
  double dead_s = 0;         ///< the gauge shows its zero where a pressure must be
  double deaf_s = 0;         ///< air moves and it shows what it did before
  bool operator==(const ResponseWatch&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("block_s", &ResponseWatch::block_s);
    v("block_pa_s", &ResponseWatch::block_pa_s);
    v("block_pa2_s", &ResponseWatch::block_pa2_s);
    v("restless_pa", &ResponseWatch::restless_pa);
    v("level_pa", &ResponseWatch::level_pa);
    v("has_start", &ResponseWatch::has_start);
    v("start_pa", &ResponseWatch::start_pa);
    v("made_pa", &ResponseWatch::made_pa);
    v("answered", &ResponseWatch::answered);
    v("answering_s", &ResponseWatch::answering_s);
    v("unfelt_s", &ResponseWatch::unfelt_s);
    v("sure_unfelt_s", &ResponseWatch::sure_unfelt_s);
    v("gap_pa_s", &ResponseWatch::gap_pa_s);
    v("dead_s", &ResponseWatch::dead_s);
    v("deaf_s", &ResponseWatch::deaf_s);
  }
};

/// One look, once per sample.
void watch_response(ResponseWatch& watch, const ResponseSight& sight) noexcept;

/// The pressure does not show what the fan likely makes: nothing may be added.
[[nodiscard]] bool is_unfelt(const ResponseWatch& watch) noexcept;

/// It has not followed for so long, and by so much, that wind does not explain it.
[[nodiscard]] bool is_without_response(const ResponseWatch& watch, const ResponseSight& sight) noexcept;

}  // namespace leeward::control
