#pragma once
/// The ways in which the virtual rig answers badly when asked to.

#include <chrono>
#include <span>

#include "daemon/devices/modbus_server.hpp"

namespace leeward::daemon {

enum class Misbehaviour : std::uint8_t {
  none,               ///< 0
  silent,             ///< 1: takes the request and says nothing
  late,               ///< 2: the right answer, too late
  garbage,            ///< 3: bytes without sense in place of the answer
  wrong_transaction,  ///< 4
  wrong_unit,         ///< 5
  closes_mid_frame,   ///< 6: half an answer, then the connection ends
  stops_mid_frame,    ///< 7: half an answer, then nothing
  trickle,            ///< 8: one byte at a time
  not_a_number,       ///< 9: NaN in every reading
  refuses,            ///< 10: exception `failure` to everything, writes have no effect
  closes,             ///< 11: ends the connection instead of answering
  counter_stands,     ///< 12: everything well but for the sample counter, and the readings with it
  count
};

/// What goes over the wire in place of the right answer. Those that lie in the readings leave it as it is.
/// @param pause  of `late` and `trickle`; 0: the usual one
[[nodiscard]] BusReply misbehave(Misbehaviour kind, std::span<const std::uint8_t> answer, SteadyTime now,
                                 std::chrono::milliseconds pause);

}  // namespace leeward::daemon
