#include "daemon/cli/bash_completion.hpp"

#include <string_view>

namespace leeward::daemon {
namespace {

/// What does not depend on the commands there are. $1 of _leeward_values is a label of option_labels.hpp.
constexpr std::string_view kMechanism = R"BASH(
# Asks the program itself; the daemon that the line names is the one that is meant.
_leeward_ask() {
  local -a where=()
  local i
  for ((i = 1; i < COMP_CWORD; i++)); do
    case ${COMP_WORDS[i]} in
      --socket | --url | --token-file) where+=("${COMP_WORDS[i]}" "${COMP_WORDS[i + 1]}") ;;
    esac
  done
  case $1 in procedures | targets) where=() ;; esac
  timeout 2 "${COMP_WORDS[0]}" "$1" --json "${where[@]}" 2>/dev/null
}

_leeward_ids() { _leeward_ask "$1" | grep -o '"id":"[^"]*"' | cut -d'"' -f4; }

# Words for what stands for a value.
_leeward_values() {
  local cur=$2 part list prefix=
  local -a parts
  IFS='|' read -ra parts <<<"$1"
  for part in "${parts[@]}"; do
    case $part in
      FILE)
        compopt -o filenames 2>/dev/null
        mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen -f -- "$cur")
        continue
        ;;
      DIR)
        compopt -o filenames 2>/dev/null
        mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen -d -- "$cur")
        continue
        ;;
      RUN) list=$(_leeward_ids runs) ;;
      PROCEDURE) list=$(_leeward_ids procedures) ;;
      TARGETS)
        list=$(_leeward_ids targets)
        # Of several with commas between the last one is being written.
        if [[ $cur == *,* ]]; then
          prefix=${cur%,*},
          cur=${cur##*,}
        fi
        ;;
      ASK_ID) list=$(_leeward_ids asks) ;;
      ANSWER) list=$(_leeward_ask asks | grep -o '"answers":\[[^]]*\]' | cut -d: -f2 | tr -d '[]"' | tr ',' '\n' | sort -u) ;;
      COMMAND) list=$(_leeward_commands) ;;
      NUMBER | TEXT | URL | HOST:PORT | I/K) continue ;;
      *) list=$part ;;
    esac
    mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen -P "$prefix" -W "$list" -- "$cur")
  done
}

_leeward() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD - 1]} command= label i word place=0
  COMPREPLY=()
  # bash cuts --option=value into three words.
  if [[ $cur == = ]]; then
    cur=
  elif [[ $prev == = ]]; then
    prev=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  for ((i = 1; i < COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]}
    if [[ $word == -* ]]; then
      if [[ -n $(_leeward_label "$command" "$word") ]]; then
        if [[ ${COMP_WORDS[i + 1]} == = ]]; then ((i += 2)); else ((i += 1)); fi
      fi
    elif [[ -z $command ]]; then
      command=$word
    else
      ((place += 1))
    fi
  done
  label=$(_leeward_label "$command" "$prev")
  if [[ -n $label ]]; then
    _leeward_values "$label" "$cur"
  elif [[ $cur == -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$(_leeward_options "$command")" -- "$cur")
  elif [[ -z $command ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$(_leeward_commands)" -- "$cur")
  else
    label=$(_leeward_place "$command" "$place")
    if [[ -n $label ]]; then _leeward_values "$label" "$cur"; fi
  fi
}

complete -F _leeward leeward
)BASH";

std::string names_of(const std::vector<OptionOutline>& options) {
  std::string text;
  for (const OptionOutline& option : options) text += (text.empty() ? "" : " ") + option.name;
  return text;
}

std::string echo(const std::string& text) { return " echo '" + text + "' ;;\n"; }

std::string commands_function(const ProgramOutline& program) {
  std::string names;
  for (const CommandOutline& command : program.commands) names += (names.empty() ? "" : " ") + command.name;
  return "_leeward_commands() { echo '" + names + "'; }\n\n";
}

std::string options_function(const ProgramOutline& program) {
  const std::string common = names_of(program.options);
  std::string text = "_leeward_options() {\n  case $1 in\n";
  for (const CommandOutline& command : program.commands)
    text += "    " + command.name + ")" + echo(names_of(command.options) + " " + common);
  return text + "    *)" + echo(common) + "  esac\n}\n\n";
}

/// $1 is the command, $2 the option: what stands for its value; nothing where it takes none.
std::string label_function(const ProgramOutline& program) {
  std::string text = "_leeward_label() {\n  case \"$1 $2\" in\n";
  for (const OptionOutline& option : program.options)
    if (!option.label.empty()) text += "    *\" " + option.name + "\")" + echo(option.label);
  for (const CommandOutline& command : program.commands)
    for (const OptionOutline& option : command.options)
      if (!option.label.empty())
        text += "    \"" + command.name + " " + option.name + "\")" + echo(option.label);
  return text + "  esac\n}\n\n";
}

/// $1 is the command, $2 which of its words without an option.
std::string place_function(const ProgramOutline& program) {
  std::string text = "_leeward_place() {\n  case \"$1 $2\" in\n";
  for (const CommandOutline& command : program.commands)
    for (std::size_t i = 0; i < command.positionals.size(); ++i) {
      const std::string place = command.positionals[i].is_repeated ? "*" : std::to_string(i);
      text += "    \"" + command.name + " \"" + place + ")" + echo(command.positionals[i].label);
    }
  return text + "  esac\n}\n";
}

}  // namespace

std::string bash_completion(const ProgramOutline& program) {
  return "# Completion of leeward for bash, made by: leeward help --completion bash\n\n" +
         commands_function(program) + options_function(program) + label_function(program) +
         place_function(program) + std::string(kMechanism);
}

}  // namespace leeward::daemon
