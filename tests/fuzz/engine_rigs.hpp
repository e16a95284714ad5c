#pragma once
/// The rigs that the engine is fuzzed with, made once.

#include <vector>

#include "control/engine.hpp"

namespace leeward::fuzz {

struct FuzzRig {
  control::Engine engine;
  control::EngineState fresh;
};

/// Both laws, one and two fans, with and without a curve, quick and slow gauges, all limits moved.
[[nodiscard]] const std::vector<FuzzRig>& fuzz_rigs();

/// A procedure short enough that a whole run fits into one execution; the number varies it.
[[nodiscard]] control::ProcedureSpec short_procedure(unsigned variation);

}  // namespace leeward::fuzz
