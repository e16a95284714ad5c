#pragma once
/// Where the files that come with the program are.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "control/procedure/procedure_spec.hpp"
#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

/// Searched in this order: the environment's LEEWARD_CONFIG_DIR; then from the folder of the running
/// program upwards, `config` (a source tree) and `share/leeward` (installed), taken where there is a
/// folder `procedures` inside.
/// Errors   empty when there is none
[[nodiscard]] std::string default_config_directory();

/// As above, upwards from a given folder.
[[nodiscard]] std::string config_directory_above(const std::string& folder);

/// Names of the procedures in `<directory>/procedures`, sorted.
[[nodiscard]] std::vector<std::string> list_procedures(const std::string& directory);
[[nodiscard]] std::vector<std::string> list_procedures();

/// Path of the file of a procedure. Only a bare name finds one, never a path: the name may have come
/// over the network.
[[nodiscard]] std::optional<std::string> find_procedure(std::string_view name, const std::string& directory);
[[nodiscard]] std::optional<std::string> find_procedure(std::string_view name);

/// Finds and loads.
/// Errors   those of the file, or that there is none, with the names that there are
[[nodiscard]] Loaded<control::ProcedureSpec> load_named_procedure(std::string_view name,
                                                                  const std::string& directory);

}  // namespace leeward::daemon
