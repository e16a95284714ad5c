#pragma once

#include "control/procedure/procedure_spec.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// The entries `[[check]]` of a procedure file: what the test is judged by.
void read_checks(TableReader& file, control::ProcedureSpec& procedure);

}  // namespace leeward::daemon
