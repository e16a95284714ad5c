#pragma once
/// Putting questions to the crew and taking their answers.

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

void open_ask(Scene& scene, Ask ask) noexcept;
void withdraw_asks(Scene& scene) noexcept;
[[nodiscard]] bool any_open(const EngineState& state, AskKind kind) noexcept;
[[nodiscard]] bool any_open(const EngineState& state) noexcept;

/// Opens one ask per item of the preparation or restore list.
void open_checklist(Scene& scene, bool restore) noexcept;

/// Lets the fan come to rest, then asks for work at it: hands and a running wheel do not go together, and a
/// plate that is changed while the wheel still turns makes the pressure jump.
void ask_at_rest(Scene& scene, HandsWork work) noexcept;

/// Opens what waits once the wheel is at rest.
void open_waiting(Scene& scene) noexcept;

/// Takes one answer: closes the ask and notes what the crew did with their hands.
[[nodiscard]] Refusal take_answer(Scene& scene, std::int64_t ask_id, Answer answer) noexcept;

}  // namespace leeward::control
