#pragma once
/// The option parser's tree as an outline. Only cli_options.cpp includes it: it needs the option parser.

#include <CLI/CLI.hpp>
#include <string>

#include "daemon/cli/command_outline.hpp"
#include "daemon/cli/option_labels.hpp"

namespace leeward::daemon {

/// The parser writes checks behind the type, as in FLOAT:Pa, and its own names for kinds of number.
inline std::string label_of(const CLI::Option& option) {
  if (option.get_items_expected_max() == 0) return {};
  const std::string type = option.get_type_name();
  for (const char* number : {"FLOAT", "INT", "UINT"})
    if (type.rfind(number, 0) == 0) return kNumberLabel;
  return type.rfind(kTextLabel, 0) == 0 ? kTextLabel : type;
}

inline OptionOutline outline_of(const CLI::Option& option) {
  OptionOutline out;
  const bool is_long = !option.get_lnames().empty();
  out.name = is_long ? "--" + option.get_lnames().front() : option.get_name(true);
  out.label = label_of(option);
  out.help = option.get_description();
  out.preset = option.get_default_str();
  out.is_required = option.get_required();
  out.is_repeated = option.get_items_expected_max() > 1 && out.label != kTargetsLabel;
  return out;
}

inline CommandOutline outline_of(const CLI::App& app) {
  CommandOutline out{app.get_name(), app.get_description(), {}, {}};
  for (const CLI::Option* option : app.get_options()) {
    if (option->nonpositional()) {
      out.options.push_back(outline_of(*option));
    } else {
      out.positionals.push_back(outline_of(*option));
    }
  }
  return out;
}

}  // namespace leeward::daemon
