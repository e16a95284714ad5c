#pragma once
/// Every command and option there is, as plain values: what the manual page and the completion are made of.

#include <string>
#include <vector>

namespace leeward::daemon {

struct OptionOutline {
  std::string name;   ///< "--json"; of a positional one its name, "RUN"
  std::string label;  ///< of the value, see option_labels.hpp; empty: it takes none
  std::string help;
  std::string preset;  ///< empty: none
  bool is_required = false;
  bool is_repeated = false;
};

struct CommandOutline {
  std::string name;
  std::string help;
  std::vector<OptionOutline> positionals;
  std::vector<OptionOutline> options;
};

struct ProgramOutline {
  std::string help;
  std::vector<OptionOutline> options;  ///< that every command takes
  std::vector<CommandOutline> commands;
};

/// The same as the parser goes by.
[[nodiscard]] ProgramOutline program_outline();

}  // namespace leeward::daemon
