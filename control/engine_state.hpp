#pragma once
/// All that the engine remembers, as one value that can be copied, compared and stored.

#include <array>
#include <cstdint>

#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"
#include "control/ask.hpp"
#include "control/fixed_vector.hpp"
#include "control/phase.hpp"
#include "control/request.hpp"
#include "control/sample.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxAsks = 32;

/// What the crew has done to a fan, as they told us.
struct FanSetup {
  int fitted = 0;        ///< index into the fan's restrictions
  bool covered = false;
  bool operator==(const FanSetup&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("fitted", &FanSetup::fitted);
    v("covered", &FanSetup::covered);
  }
};

struct EngineState {
  std::int64_t now_ns = 0;
  bool started = false;  ///< a sample has been seen
  Phase phase = Phase::idle;
  RunState run_state = RunState::none;
  Direction direction = Direction::depressurize;
  Trip trip;
  std::int64_t next_ask_id = 1;
  FixedVector<Ask, kMaxAsks> asks;
  std::array<FanSetup, kMaxFans> fans;
  bool has_zero_flow = false;
  double zero_flow_pa = 0;  ///< signed, the reference of the induced pressure
  double target_pa = 0;
  double countdown_s = 0;
  RunSpec run;
  RunRecord record;
  RunResult result;
  bool operator==(const EngineState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("now_ns", &EngineState::now_ns);
    v("started", &EngineState::started);
    v("phase", &EngineState::phase);
    v("run_state", &EngineState::run_state);
    v("direction", &EngineState::direction);
    v("trip", &EngineState::trip);
    v("next_ask_id", &EngineState::next_ask_id);
    v("asks", &EngineState::asks);
    v("fans", &EngineState::fans);
    v("has_zero_flow", &EngineState::has_zero_flow);
    v("zero_flow_pa", &EngineState::zero_flow_pa);
    v("target_pa", &EngineState::target_pa);
    v("countdown_s", &EngineState::countdown_s);
    v("run", &EngineState::run);
    v("record", &EngineState::record);
    v("result", &EngineState::result);
  }
};

}  // namespace leeward::control
