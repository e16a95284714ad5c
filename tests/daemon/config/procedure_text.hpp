#pragma once
/// What the sample procedures of several tests end with.

namespace leeward::daemon::config_test {

inline constexpr const char* kProcedureEnding = R"([[check]]
kind = "both_directions"
severity = "advice"
clause = "directions"
mark = "memory"
[[checklist]]
text = "Windows closed."
[[restore]]
text = "Seals out."
[[restore]]
text = "Traps filled."
)";

}  // namespace leeward::daemon::config_test
