#pragma once

#include <string>
#include <string_view>

#include "control/procedure/procedure_spec.hpp"
#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

/// A procedure file. Its name, without `.toml`, is the procedure's id.
[[nodiscard]] Loaded<control::ProcedureSpec> load_procedure(const std::string& path);

/// A procedure from text, as a client may post it.
/// @param name  becomes the id and stands for the file in messages
[[nodiscard]] Loaded<control::ProcedureSpec> procedure_from_toml(std::string_view text, std::string name);

}  // namespace leeward::daemon
