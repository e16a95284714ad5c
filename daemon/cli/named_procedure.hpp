#pragma once
/// A procedure by the name that people give on the command line.

#include "control/procedure/procedure_spec.hpp"
#include "daemon/cli/daemon_link.hpp"

namespace leeward::daemon {

/// @param procedure  name of one in the folder of procedures, or a file
/// Errors   usage for a name that there is not, bad_procedure for a file that is not usable
[[nodiscard]] Attempt<control::ProcedureSpec> named_procedure(const std::string& procedure);

}  // namespace leeward::daemon
