#pragma once
/// The manual page, section 1, in the language of man(7).

#include <string>

#include "daemon/cli/command_outline.hpp"

namespace leeward::daemon {

[[nodiscard]] std::string man_page(const ProgramOutline& program);

}  // namespace leeward::daemon
