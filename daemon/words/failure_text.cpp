#include "daemon/words/failure_text.hpp"

#include "control/guard/failure_table.hpp"
#include "daemon/words/trip_text.hpp"

namespace leeward::daemon {

namespace {

std::string line_of(std::string_view head, std::string_view text) {
  return text.empty() ? std::string() : "  " + std::string(head) + std::string(text) + "\n";
}

}  // namespace

std::string failure_markdown() {
  std::string out = "| cause | seen by | after | done | clears | watched by |\n|---|---|---|---|---|---|\n";
  for (const control::FailureRow& row : control::failure_table()) {
    for (const std::string_view cell : {row.cause, row.seen, row.after, control::reaction_text(row.reaction),
                                        row.clears, control::watcher_text(row.watcher)})
      out += "| " + std::string(cell) + (cell.empty() ? "" : " ");
    out += "|\n";
  }
  return out;
}

std::string failure_text() {
  std::string out;
  for (const control::FailureRow& row : control::failure_table()) {
    if (!out.empty()) out += "\n";
    out += std::string(row.cause) + "\n";
    out += line_of("seen     ", row.seen);
    out += line_of("after    ", row.after);
    out += line_of("done     ", control::reaction_text(row.reaction));
    out += line_of("clears   ", row.clears);
    out += line_of("told     ",
                   row.trip == control::TripCause::none ? std::string(row.told) : trip_advice(row.trip));
    out += line_of("watched by ", control::watcher_text(row.watcher));
  }
  return out;
}

}  // namespace leeward::daemon
