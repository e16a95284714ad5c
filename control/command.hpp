#pragma once
/// What a fan is told. Off is not zero, and hold is not a demand: three different things.

#include <array>
#include <cstdint>

#include "control/sample.hpp"

namespace leeward::control {

enum class Drive : std::uint8_t {
  off,        ///< demand 0, then enable 0
  hold_last,  ///< what was written last is written again
  drive       ///< enable 1 and this demand
};

struct FanCommand {
  Drive drive = Drive::off;
  double demand_frac = 0;  ///< 0..1; 0 unless drive
  bool operator==(const FanCommand&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("drive", &FanCommand::drive);
    v("demand_frac", &FanCommand::demand_frac);
  }
};

struct Command {
  std::array<FanCommand, kMaxFans> fans;
  bool operator==(const Command&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("fans", &Command::fans);
  }
};

}  // namespace leeward::control
