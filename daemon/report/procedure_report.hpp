#pragma once
/// A procedure explained: what is done, in what order, how long it takes, and what it is judged by.

#include <string>

#include <nlohmann/json.hpp>

#include "control/procedure/procedure_spec.hpp"

namespace leeward::daemon {

/// How long one whole test takes, without the crew's own time.
struct TestLength {
  double least_s = 0;
  double most_s = 0;  ///< where windows adapt and the wind asks for all of it
};
[[nodiscard]] TestLength test_length(const control::ProcedureSpec& procedure);

/// Plain words, 80 columns.
[[nodiscard]] std::string procedure_text(const control::ProcedureSpec& procedure);

/// The whole procedure by the names of its fields, with `duration_least_s`, `duration_most_s`, and a `text`
/// for each check.
[[nodiscard]] nlohmann::json procedure_json(const control::ProcedureSpec& procedure);

/// id, title and standard.
[[nodiscard]] nlohmann::json procedure_summary_json(const control::ProcedureSpec& procedure);

}  // namespace leeward::daemon
