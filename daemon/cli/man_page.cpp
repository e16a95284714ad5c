#include "daemon/cli/man_page.hpp"

#include <string_view>

#include "daemon/cli/command_notes.hpp"
#include "daemon/cli/exit_code.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {
namespace {

/// Text that the typesetter shall show as it is: hyphens that can be copied, no line that begins a request.
std::string roff(std::string_view text) {
  std::string out;
  bool at_begin = true;
  for (const char c : text) {
    if (at_begin && (c == '.' || c == '\'')) out += "\\&";
    at_begin = c == '\n';
    switch (c) {
      case '\\':
        out += "\\e";
        break;
      case '-':
        out += "\\-";
        break;
      case '\'':
        out += "\\(aq";
        break;
      case '"':
        out += "\\(dq";
        break;
      case '^':
        out += "\\(ha";
        break;
      case '~':
        out += "\\(ti";
        break;
      case '`':
        out += "\\(ga";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string bold(std::string_view text) { return "\\fB" + roff(text) + "\\fR"; }
std::string slanted(std::string_view text) { return "\\fI" + roff(text) + "\\fR"; }
std::string item(const std::string& head, std::string_view text) {
  return ".TP\n" + head + "\n" + roff(text) + "\n";
}

std::string head_of(const OptionOutline& option) {
  return bold(option.name) + (option.label.empty() ? "" : " " + slanted(option.label));
}

std::string about_option(const OptionOutline& option) {
  std::string text = option.help.empty() ? "see above" : option.help;
  if (!option.preset.empty()) text += "; " + option.preset + " when not told";
  if (option.is_required) text += "; needed";
  return text;
}

/// "leeward hold [PA] [options]"
std::string usage_of(const CommandOutline& command) {
  std::string line = bold("leeward " + command.name);
  for (const OptionOutline& word : command.positionals) {
    const std::string name = slanted(word.name) + (word.is_repeated ? "..." : "");
    line += word.is_required ? " " + name : " [" + name + "]";
  }
  for (const OptionOutline& option : command.options)
    if (option.is_required) line += " " + head_of(option);
  return line + " [" + slanted("options") + "]";
}

std::string section_of(const CommandOutline& command) {
  std::string text =
      ".SS " + command.name + "\n" + usage_of(command) + "\n.PP\n" + roff(command.help) + ".\n";
  const CommandNote* note = note_of(command.name);
  if (note != nullptr) text += roff(note->about) + "\n";
  if (note != nullptr && !note->caution.empty())
    text += ".PP\n" + bold("Caution:") + " " + roff(note->caution) + "\n";
  for (const OptionOutline& word : command.positionals) text += item(slanted(word.name), about_option(word));
  for (const OptionOutline& option : command.options)
    if (option.name != "--help") text += item(head_of(option), about_option(option));
  if (note != nullptr) text += ".PP\nExample:\n.PP\n.RS\n.nf\n" + roff(note->example) + "\n.fi\n.RE\n";
  return text;
}

constexpr std::string_view kDescription =
    "measures how airtight a building is: a fan stands in a doorway, and the program drives it to known "
    "pressures, "
    "says what the crew has to do, fits the leakage curve, and stops the fan whenever anything is wrong. "
    "leeward serve is the daemon; the other commands speak with it over its socket, or over TCP with --url.";

constexpr std::string_view kCautions =
    "A fan that pulls a house to 50 Pa can draw flue gas into rooms, lift ash, asbestos fibres or mould, and "
    "break "
    "what is fragile. Fuel-burning appliances off and unable to start, no fire or embers, before anything "
    "moves. "
    "Local codes and licensed practice come before anything this program says. Software alone can't promise "
    "a stop: "
    "many drives keep running when the bus falls silent. Set the drive's time-out and keep a hand switch "
    "within "
    "reach.";

std::string environment_section() {
  return ".SH ENVIRONMENT\n" +
         item(bold("RUNTIME_DIRECTORY") + ", " + bold("XDG_RUNTIME_DIR"), "where the socket is, see FILES") +
         item(bold("STATE_DIRECTORY") + ", " + bold("XDG_STATE_HOME"),
              "where recordings and tokens are, see FILES") +
         item(bold("LEEWARD_CONFIG_DIR"),
              "folder of procedures/, targets/ and the other files that come with the program") +
         item(bold("NO_COLOR"), "when set, watch uses no colour; nothing is told by colour alone") +
         item(bold("LC_ALL") + ", " + bold("LC_CTYPE") + ", " + bold("LANG"),
              "watch draws in Unicode where the first of them that is set names UTF-8, else in plain ASCII") +
         item(bold("TERM"), "with dumb, or unset, watch prints lines as if standard output were no terminal");
}

std::string files_section() {
  return ".SH FILES\n" +
         item(slanted("$RUNTIME_DIRECTORY/api.sock") + ", " + slanted("$XDG_RUNTIME_DIR/leeward/api.sock") +
                  ", " + slanted("/tmp/leeward-UID/api.sock"),
              "the daemon's socket: the first whose variable is set") +
         item(slanted("$STATE_DIRECTORY/runs") + ", " + slanted("$XDG_STATE_HOME/leeward/runs") + ", " +
                  slanted("~/.local/state/leeward/runs"),
              "one recording a run") +
         item(slanted("share/leeward"),
              "procedures, targets and examples of every file, below where the program is "
              "installed");
}

}  // namespace

std::string man_page(const ProgramOutline& program) {
  std::string page = ".TH LEEWARD 1 \"\" \"leeward " + std::string(kVersion) + "\" \"User Commands\"\n";
  page += ".nh\n.SH NAME\nleeward \\- " + std::string("drives a fan for building airtightness tests\n");
  page += ".SH SYNOPSIS\n" + bold("leeward") + " " + slanted("COMMAND") + " [" + slanted("options") + "]\n";
  page += ".SH DESCRIPTION\n" + bold("leeward") + "\n" + roff(kDescription) + "\n";
  page += ".SH CAUTIONS\n" + roff(kCautions) + "\n.SH OPTIONS OF EVERY COMMAND\n";
  for (const OptionOutline& option : program.options) page += item(head_of(option), about_option(option));
  page += ".SH COMMANDS\n";
  for (const CommandOutline& command : program.commands) page += section_of(command);
  page += ".SH EXIT STATUS\n";
  for (const ExitCodeMeaning& line : kExitCodes) page += item(bold(std::to_string(line.code)), line.meaning);
  page += environment_section() + files_section();
  return page + ".SH SEE ALSO\n" +
         roff("leeward serve answers /v1/openapi.json: the same over HTTP, for programs.") + "\n";
}

}  // namespace leeward::daemon
