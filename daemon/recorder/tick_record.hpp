#pragma once
/// What one tick leaves behind, as compact as it can wait in memory.

#include <cstdint>
#include <vector>

#include "control/engine.hpp"

namespace leeward::daemon {

struct TickRecord {
  std::uint64_t seq = 0;
  control::Sample sample;
  control::Command command;
  control::Trace trace;
  std::vector<control::Request> requests;
  std::vector<control::Event> events;
  std::vector<control::Refusal> refusals;
};

/// The averages and the result as they stood after a tick.
struct RunSnapshot {
  std::uint64_t seq = 0;
  control::RunState run_state = control::RunState::none;
  control::RunRecord record;
  control::RunResult result;
  bool operator==(const RunSnapshot&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("seq", &RunSnapshot::seq);
    v("run_state", &RunSnapshot::run_state);
    v("record", &RunSnapshot::record);
    v("result", &RunSnapshot::result);
  }
};

}  // namespace leeward::daemon
