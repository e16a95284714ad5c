#pragma once
/// A validity check in words: what was looked at, what was seen, the limit, the clause it comes from.

#include <string>
#include <string_view>

#include "control/analysis/run_result.hpp"
#include "control/procedure/procedure_spec.hpp"

namespace leeward::daemon {

/// One sentence of evidence, without the outcome's consequence.
[[nodiscard]] std::string verdict_text(const control::CheckSpec& check, const control::Verdict& verdict);

/// The figure that was compared, with its unit; empty where there was none.
[[nodiscard]] std::string seen_text(const control::CheckSpec& check, const control::Verdict& verdict);

/// "at least 5"; empty where nothing was compared.
[[nodiscard]] std::string limit_text(const control::CheckSpec& check, const control::Verdict& verdict);

/// What was looked at, what was seen, the limit, passed or failed.
[[nodiscard]] std::string evidence_text(const control::CheckSpec& check, const control::Verdict& verdict);

/// "limit read in ..." or "limit not checked against the standard's text"
[[nodiscard]] std::string mark_text(const control::CheckSpec& check);

/// What a check looks at, as a noun.
[[nodiscard]] std::string_view check_title(control::CheckKind kind);

/// The same for a column of a table: at most 28 letters.
[[nodiscard]] std::string_view check_label(control::CheckKind kind);

/// Unit of the check's figures; empty for counts and plain ratios.
[[nodiscard]] std::string_view check_unit(control::CheckKind kind);

}  // namespace leeward::daemon
