#include "daemon/report/checks_table.hpp"

#include "daemon/report/loose_json.hpp"
#include "daemon/report/text_block.hpp"

namespace leeward::daemon {

namespace {

using nlohmann::json;

constexpr std::size_t kOutcomeWidth = 10;
constexpr std::size_t kLabelWidth = 28;
constexpr std::size_t kSeenWidth = 10;
constexpr std::size_t kLimitWidth = 18;

bool is_unchecked(const json& verdict) { return text_at(verdict, "mark") == "memory"; }

/// What the outcome means: a failed check by its weight.
std::string outcome_word(const json& verdict) {
  const std::string outcome = text_at(verdict, "outcome");
  if (outcome == "failed") return text_at(verdict, "severity");
  return outcome == "passed" ? "passed" : "-";
}

std::string without_trailing_blanks(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line;
}

std::string check_line(const json& verdict) {
  const std::string begin =
      left_in(outcome_word(verdict), kOutcomeWidth) + left_in(text_at(verdict, "label"), kLabelWidth);
  const std::string direction = text_at(verdict, "direction");
  const std::string seen = text_at(verdict, "seen_text");
  if (seen.empty())
    return without_trailing_blanks(
        begin + "  " + left_in("not applicable or not known", kSeenWidth + kLimitWidth) + direction);
  const std::string limit = text_at(verdict, "limit_text");
  return without_trailing_blanks(begin + right_in(seen, kSeenWidth) + "  " +
                                 left_in(limit + (is_unchecked(verdict) ? "*" : ""), kLimitWidth) +
                                 direction);
}

std::string grounds(const json& verdict) {
  return wrapped(left_in("", kOutcomeWidth),
                 text_at(verdict, "clause") + "; " + text_at(verdict, "mark_text"));
}

}  // namespace

std::string checks_table(const json& result) {
  const json list = list_at(result, "verdicts");
  if (list.empty()) return {};
  std::string out = "\nChecks\n";
  bool any_unchecked = false;
  for (const json& verdict : list) {
    if (!verdict.is_object()) continue;
    out += check_line(verdict) + "\n";
    if (text_at(verdict, "outcome") == "failed") out += grounds(verdict);
    any_unchecked = any_unchecked || (is_unchecked(verdict) && !text_at(verdict, "seen_text").empty());
  }
  if (any_unchecked) out += "* limit not checked against the standard's text\n";
  return out;
}

}  // namespace leeward::daemon
