#include "daemon/cli/command_notes.hpp"

#include <algorithm>
#include <array>

#include "daemon/cli/exit_code.hpp"
#include "daemon/report/text_block.hpp"

namespace leeward::daemon {
namespace {

constexpr std::string_view kFanStarts =
    "The fan starts at once, and nobody is asked for anything. leeward stop stops it.";

constexpr auto kNotes = std::to_array<CommandNote>({
    {"serve",
     "Drives the rig and answers the other commands until SIGTERM or Ctrl-C, which stop the fan first. Says "
     "ready and its socket as soon as it answers; with --json as a JSON line. Two processes: the watchman "
     "stops the "
     "fan and ends with 70 when the daemon dies or hangs; whoever started it starts it again, with the fan "
     "at rest.",
     "With --listen the connection is plain HTTP: on a network that others share, put a proxy with TLS in "
     "front.",
     "leeward serve --config my-rig.toml"},
    {"rig",
     "A house, its wind, a fan and the gauges, all invented, behind Modbus TCP. Says ready and its address; "
     "with "
     "--json as a JSON line. Runs until Ctrl-C.",
     "", "leeward rig --house config/houses/demo-house.toml --auto-crew 2"},
    {"check", "Names every error with file, line, key and what is allowed; exit 1 when a file is not usable.",
     "", "leeward check my-rig.toml my-fan.toml my-building.toml"},
    {"tune",
     "Drives the fan on a simulated house, never on a real one, and shows the gains, their margins, and how "
     "the "
     "house does before and after.",
     "", "leeward tune my-rig.toml --method relay --rule simc --out tuned.toml"},
    {"status", "The phase in a sentence, pressure, fans, estimates, asks and trip.", "",
     "leeward status --json"},
    {"watch",
     "On a terminal: the plan as a staircase with the pressure drawn into it, the figures, what is asked and "
     "what "
     "happened; Ctrl-C leaves and stops nothing. Elsewhere: a line for each event. With --json: each item of "
     "the "
     "event stream in a line, as {\"id\", \"event\", \"data\"}. A lost daemon is looked for again, on a "
     "terminal for "
     "ever, else for 30 s (exit 69), and what happened meanwhile is told.",
     "Looking is no command: without contact the view shows the past, and the fan may do otherwise.",
     "leeward watch --json"},
    {"procedures",
     "With a name: in plain words what is done, in what order, and every limit with its clause.", "",
     "leeward procedures steady"},
    {"targets", "Which of them were not checked against the code's text is marked.", "", "leeward targets"},
    {"replay",
     "Says whether every output of the recording came out the same, and else where it first differs.", "",
     "leeward replay run-20260102-030405"},
    {"recording",
     "Says whether the file is whole, what of it can be read, where ticks are missing and whether the run's "
     "end "
     "was written. Reads only. Exit 1 when it is not whole, 65 when nothing of it can be read.",
     "", "leeward recording check run-20260102-030405"},
    {"baseline", "The fan must be covered. hold and climb need one before they start.", "",
     "leeward baseline --seconds 30"},
    {"hold", "Ends after --max-s, or half an hour when not told. Within a run and without PA the run pauses.",
     kFanStarts, "leeward hold 10 --direction depressurize"},
    {"climb", "As hold, but the pressure rises at the rate that is given.", kFanStarts,
     "leeward climb 50 --rate 1 --look-round-done"},
    {"rig-learn",
     "Moves the fan up and down for about a minute and stores what is found for this rig, with its "
     "intervals.",
     "The fan turns. Shut windows and outer doors first; leeward stop ends it at any time.",
     "leeward rig-learn --direction depressurize"},
    {"continue", "Lets a run go on that hold without PA has paused.", "The fan goes on at once.",
     "leeward continue"},
    {"here",
     "For a run with --presence: any answer counts too. Without one the pressure goes down to the look-round "
     "level after the time given, and the fan off after as long again. It stays down until leeward continue.",
     "", "leeward here"},
    {"stop", "Works in every state, and from anyone who may command, whoever has the helm.",
     "Software alone can't promise a stop: keep a hand switch within reach.", "leeward stop"},
    {"clear-trip", "After it the fan may be started again; nothing starts by itself.",
     "Find the cause first: leeward status names it.", "leeward clear-trip"},
    {"run",
     "Follows the run to its end and prints the result; what happens meanwhile goes to standard error. With "
     "--json "
     "the result is one object. What is asked meanwhile is answered elsewhere: leeward answer, or the page.",
     "A fan that pulls a house to 50 Pa can draw flue gas into rooms and lift ash, fibres or mould. Do what "
     "the "
     "checklist asks before you answer it.",
     "leeward run iso-9972 --building house.toml --direction both"},
    {"resume",
     "A new run that keeps the finished stations of RUN, each with the zero-flow pressure that belongs to "
     "it, and "
     "measures what is missing behind a fresh one. Procedure, building and direction are those of RUN; air "
     "temperatures that have changed are told anew. Refused where the rig's fan or calibration is another "
     "one, and "
     "where the oldest reading is older than resume_within_s of the rig file (2 h).",
     "The crew is asked everything again, the look-round too; the fan never starts by itself.",
     "leeward resume run-20260102-030405"},
    {"runs", "Newest last, with state, procedure and building.", "", "leeward runs --json"},
    {"result", "Our estimate, the procedure's own fit, stations, checks and what else the readings show.", "",
     "leeward result run-20260102-030405 --target passive-house"},
    {"export", "Every sample in a line, as comma-separated values.", "",
     "leeward export run-20260102-030405 --csv samples.csv"},
    {"report", "What no recording knows is given here or becomes a line to write on.", "",
     "leeward report run-20260102-030405 --pdf report.pdf --tester 'A. Person'"},
    {"analyse", "The same analysis as a run's. Without air temperatures the flows are taken as they are.", "",
     "leeward analyse house.csv --building house.toml --procedure iso-9972"},
    {"asks", "Each with its id and the answers that it takes.", "", "leeward asks"},
    {"answer", "Do the act first, then answer.",
     "After the answers about the fan and the look-round it starts again, after a countdown.",
     "leeward answer 3 done"},
    {"token", "It is stored hashed and can't be shown again. Revoking one counts at once.",
     "Whoever has an operator's token may drive the fan.", "leeward token phone"},
    {"campaign",
     "Settling and overshoot, gust error or errors of whole tests, with their intervals over houses; with "
     "--faults how soon the fan is stopped when something fails. Ctrl-C stops it; --resume goes on.",
     "", "leeward campaign config/populations/steps.toml --runs 500 --seed 1 --out build/steps"},
    {"help",
     "With --json: every command, option and exit code as an object. `failures` tells what may go wrong, how "
     "it is "
     "seen and what is done.",
     "", "leeward help --man | man -l -"},
});

}  // namespace

const CommandNote* note_of(std::string_view command) {
  const auto* found = std::find_if(kNotes.begin(), kNotes.end(),
                                   [&](const CommandNote& note) { return note.name == command; });
  return found == kNotes.end() ? nullptr : found;
}

std::string note_text(std::string_view command) {
  const CommandNote* note = note_of(command);
  if (note == nullptr) return {};
  std::string text = wrapped("", note->about);
  if (!note->caution.empty()) text += wrapped("Caution: ", note->caution);
  return text + "Example: " + std::string(note->example);
}

std::string exit_codes_text() {
  constexpr std::size_t kCodeWidth = 3;
  std::string text = "Exit codes:\n";
  for (const ExitCodeMeaning& line : kExitCodes)
    text += wrapped("  " + right_in(std::to_string(line.code), kCodeWidth) + "  ", line.meaning);
  return text;
}

}  // namespace leeward::daemon
