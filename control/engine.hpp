#pragma once
/// The heart: a pure function from what was read and asked to what is commanded.

#include <array>
#include <span>

#include "control/command.hpp"
#include "control/engine_config.hpp"
#include "control/engine_state.hpp"
#include "control/event.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/request.hpp"
#include "control/sample.hpp"
#include "control/trace.hpp"

namespace leeward::control {

inline constexpr std::size_t kMaxRequestsPerTick = 8;

struct StepOutput {
  Command command;
  Trace trace;
  Events events;
  FixedVector<Refusal, kMaxRequestsPerTick> refusals;  ///< one per request, in order; accepted = 0
  bool operator==(const StepOutput&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("command", &StepOutput::command);
    v("trace", &StepOutput::trace);
    v("events", &StepOutput::events);
    v("refusals", &StepOutput::refusals);
  }
};

/// Regulation, procedure, restriction choice, guarding and analysis, once per sample.
///
/// No clock (time comes with the sample), no thread, no allocation, no log, no randomness: the same
/// state, sample and requests give the same bits. The first sample only sets the time: it is judged
/// like any other but nothing is integrated over the unknown interval before it.
///
/// Errors   none: whatever is wrong is a refusal, an event or a trip in the output.
class Engine {
 public:
  explicit Engine(const EngineConfig& config);
  [[nodiscard]] const EngineConfig& config() const { return config_; }
  [[nodiscard]] EngineState initial_state() const;
  /// @param requests  at most kMaxRequestsPerTick; more are ignored
  StepOutput step(EngineState& state, const Sample& sample, std::span<const Request> requests) const noexcept;

 private:
  EngineConfig config_;
  std::array<FanCurve, kMaxFans> curves_;
};

}  // namespace leeward::control
