#include "daemon/cli/named_procedure.hpp"

#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_procedure.hpp"
#include "daemon/config/near_key.hpp"

namespace leeward::daemon {

Attempt<control::ProcedureSpec> named_procedure(const std::string& procedure) {
  const bool is_file = procedure.find('/') != std::string::npos || procedure.ends_with(".toml");
  if (!is_file && !find_procedure(procedure)) {
    const std::vector<std::string> known = list_procedures();
    const std::string_view meant = nearest_word(procedure, known);
    return tl::unexpected(Failure{
        exit_usage, "unknown_procedure", "there is no procedure " + procedure,
        meant.empty() ? "the procedures are " + one_of(known) : "did you mean " + std::string(meant) + "?"});
  }
  auto spec =
      is_file ? load_procedure(procedure) : load_named_procedure(procedure, default_config_directory());
  if (!spec) return tl::unexpected(Failure{exit_data, "bad_procedure", to_text(spec.errors)});
  return *spec.value;
}

}  // namespace leeward::daemon
