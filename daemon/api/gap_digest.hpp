#pragma once
/// A sensor or a computer that stumbles does so many times a second. Who reads the log or the stream is told
/// once every few seconds, with the count.

#include <array>
#include <cstdint>

#include "control/event.hpp"

namespace leeward::daemon {

class GapDigest {
 public:
  /// The events of a tick. Skipped sample periods and missed control periods are told at once when none was
  /// told for 5 s, else summed up and told then: `a` is the sum, `x` the seconds since the last one.
  /// @param wall_unix_ms  a clock that was set back makes what waits due
  [[nodiscard]] control::Events thin(const control::Events& events, std::int64_t wall_unix_ms);

 private:
  struct Sum {
    std::int64_t periods = 0;
    std::int64_t told_ms = 0;
    bool has_told = false;
  };
  std::array<Sum, 2> sums_;
};

}  // namespace leeward::daemon
