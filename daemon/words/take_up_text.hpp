#pragma once
/// Why a run that was broken off is not gone on with, in plain words.

#include <string>
#include <string_view>

#include "control/procedure/take_up_rule.hpp"

namespace leeward::daemon {

/// Empty where it may be.
[[nodiscard]] std::string take_up_text(const control::TakeUpVerdict& verdict, std::string_view run_id,
                                       double most_age_s);
/// What to do about it.
[[nodiscard]] std::string take_up_hint(control::TakeUpRefusal refusal);

/// "3 stations are kept from run-..., which broke off 12 min before this one began" and what follows from it,
/// for a record that goes on from another; empty for any other.
[[nodiscard]] std::string continuation_text(const control::RunRecord& record);

/// "12 min", "1 h 40 min"
[[nodiscard]] std::string age_text(double age_s);

}  // namespace leeward::daemon
