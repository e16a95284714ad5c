#pragma once
/// What a person should know of each command beyond its options, for every help.

#include <string>
#include <string_view>

namespace leeward::daemon {

struct CommandNote {
  std::string_view name;
  std::string_view about;    ///< what it does and prints
  std::string_view caution;  ///< empty: none
  std::string_view example;  ///< one command line
};

/// nullptr where there is none.
[[nodiscard]] const CommandNote* note_of(std::string_view command);

/// About, caution and example, each in lines of a terminal.
[[nodiscard]] std::string note_text(std::string_view command);

/// "Exit codes:" and a line for each.
[[nodiscard]] std::string exit_codes_text();

}  // namespace leeward::daemon
