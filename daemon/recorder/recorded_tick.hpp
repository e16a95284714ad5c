#pragma once
/// One tick as a recording gives it back.

#include <cstdint>
#include <vector>

#include "control/engine.hpp"

namespace leeward::daemon {

struct RecordedTick {
  std::uint64_t seq = 0;
  control::Sample sample;
  std::vector<control::Request> requests;
  control::StepOutput output;
};

}  // namespace leeward::daemon
