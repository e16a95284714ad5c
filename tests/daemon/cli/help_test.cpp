#include <gtest/gtest.h>

#include "daemon/cli/bash_completion.hpp"
#include "daemon/cli/cli_options.hpp"
#include "daemon/cli/command_notes.hpp"
#include "daemon/cli/command_outline.hpp"
#include "daemon/cli/exit_code.hpp"
#include "daemon/cli/man_page.hpp"

namespace leeward::daemon {
namespace {
/// As roff writes it: a hyphen that is one.
std::string in_roff(const std::string& text) {
  std::string out;
  for (const char c : text) out += c == '-' ? "\\-" : std::string(1, c);
  return out;
}
}  // namespace

TEST(Help, KnowsEveryCommandWithAnExampleThatParses) {
  for (const CommandOutline& command : program_outline().commands) {
    const CommandNote* note = note_of(command.name);
    ASSERT_NE(note, nullptr) << command.name;
    EXPECT_EQ(note->example.rfind("leeward " + command.name, 0), 0U) << note->example;
  }
}

TEST(Help, ListsEveryExitCode) {
  const std::string help = parse_line({"--help"}).help;

  for (const ExitCodeMeaning& line : kExitCodes)
    EXPECT_NE(help.find(" " + std::to_string(line.code) + "  "), std::string::npos) << line.code;
}

TEST(Help, ReadsItsOwnOptions) {
  EXPECT_EQ(std::get<HelpCommand>(parse_line({"help", "run"}).command.value()).topic, "run");
  EXPECT_TRUE(std::get<HelpCommand>(parse_line({"help", "--man"}).command.value()).is_man);
  EXPECT_EQ(std::get<HelpCommand>(parse_line({"help", "--completion", "bash"}).command.value()).completion,
            "bash");
  EXPECT_FALSE(parse_line({"help", "--completion", "other"}).error.empty());
}

TEST(ManPage, HoldsEveryCommandOptionAndExitCode) {
  const ProgramOutline program = program_outline();
  const std::string page = man_page(program);

  for (const CommandOutline& command : program.commands) {
    const std::size_t begin = page.find(".SS " + command.name + "\n");
    ASSERT_NE(begin, std::string::npos) << command.name;
    const std::string section = page.substr(begin, page.find("\n.S", begin + 1) - begin);
    for (const OptionOutline& option : command.options)
      if (option.name != "--help") {
        EXPECT_NE(section.find("\\fB" + in_roff(option.name) + "\\fR"), std::string::npos)
            << command.name << " " << option.name;
      }
  }
  for (const ExitCodeMeaning& line : kExitCodes)
    EXPECT_NE(page.find("\\fB" + std::to_string(line.code) + "\\fR"), std::string::npos) << line.code;
}

TEST(BashCompletion, HoldsEveryOptionOfEveryCommand) {
  const ProgramOutline program = program_outline();
  const std::string script = bash_completion(program);

  for (const CommandOutline& command : program.commands)
    for (const OptionOutline& option : command.options)
      EXPECT_NE(script.find(option.name), std::string::npos) << command.name << " " << option.name;
}

TEST(ProgramOutline, SaysWhatStandsForAValue) {
  for (const CommandOutline& command : program_outline().commands) {
    for (const OptionOutline& option : command.options)
      if (option.name == "--direction") {
        EXPECT_EQ(option.label.rfind("depressurize|pressurize", 0), 0U) << command.name;
      }
    if (command.name == "report") {
      EXPECT_EQ(command.positionals.at(0).label, "RUN|FILE");
    }
    if (command.name == "check") {
      EXPECT_TRUE(command.positionals.at(0).is_repeated);
    }
  }
}

TEST(ParseLine, TellsTheNextStepOfAWrongLine) {
  EXPECT_NE(parse_line({"hold", "10", "--directon", "pressurize"}).error.find("did you mean --direction?"),
            std::string::npos);
  EXPECT_NE(parse_line({"hold", "abc"}).hint.find("leeward hold --help"), std::string::npos);
  EXPECT_NE(parse_line({"stop", "now"}).error.find("now"), std::string::npos);
}

}  // namespace leeward::daemon
