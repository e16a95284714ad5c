#pragma once
/// Whether a request may be taken now, and what it starts.

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

/// Takes one request or says why not. Stop is always taken.
[[nodiscard]] Refusal take_request(Scene& scene, const Request& request) noexcept;

}  // namespace leeward::control
