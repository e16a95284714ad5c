#include "daemon/document/check_blocks.hpp"

#include <algorithm>

#include "daemon/report/cautions.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/sentences.hpp"
#include "daemon/words/take_up_text.hpp"

namespace leeward::daemon {

namespace {

using control::CheckOutcome;
using control::CheckSpec;
using control::Severity;
using control::Verdict;

const CheckSpec* check_of(const ReportData& data, const Verdict& verdict) {
  const auto i = static_cast<std::size_t>(verdict.check);
  const auto& checks = data.record.procedure.checks;
  return verdict.check >= 0 && i < checks.size() ? &checks[i] : nullptr;
}

std::string outcome_text(const CheckSpec& check, const Verdict& verdict) {
  if (verdict.outcome == CheckOutcome::passed) return "passed";
  if (verdict.outcome == CheckOutcome::not_applicable) return "not judged";
  switch (check.severity) {
    case Severity::invalid:
      return "FAILED: not valid";
    case Severity::deviation:
      return "FAILED: deviation";
    case Severity::advice:
      break;
  }
  return "failed: advice";
}

std::string direction_of(const ReportData& data, const Verdict& verdict) {
  const auto i = static_cast<std::size_t>(verdict.direction);
  if (verdict.direction < 0 || i >= data.record.directions.size()) return "whole run";
  return std::string(name_of(data.record.directions[i].direction));
}

/// The sources that limits were read in, numbered as they come up.
class Sources {
 public:
  std::string mark_of(const CheckSpec& check) {
    if (check.mark == control::Mark::memory) {
      has_memory_ = true;
      return "memory";
    }
    const std::string source(check.source.empty() ? "a source that is not named" : check.source.view());
    const auto it = std::find(list_.begin(), list_.end(), source);
    const auto number = static_cast<std::size_t>(it - list_.begin()) + 1;
    if (it == list_.end()) list_.push_back(source);
    return "[" + std::to_string(number) + "]";
  }
  [[nodiscard]] std::string legend() const {
    std::string out = "Limits were read in";
    for (std::size_t i = 0; i < list_.size(); ++i)
      out += std::string(i == 0 ? " " : "; ") + "[" + std::to_string(i + 1) + "] " + list_[i];
    if (list_.empty()) out = "No limit was read in a source";
    if (has_memory_) out += ". Memory: recalled, not read in the standard; to be compared with it";
    return out + ".";
  }

 private:
  std::vector<std::string> list_;
  bool has_memory_ = false;
};

/// The verdicts of one check: of each direction, or of the whole run.
struct CheckGroup {
  const CheckSpec* check = nullptr;
  std::vector<const Verdict*> verdicts;
  [[nodiscard]] const Verdict& worst() const {
    for (const auto outcome : {CheckOutcome::failed, CheckOutcome::passed})
      for (const Verdict* v : verdicts)
        if (v->outcome == outcome) return *v;
    return *verdicts.front();
  }
};

std::vector<CheckGroup> groups_of(const ReportData& data) {
  std::vector<CheckGroup> out;
  for (const Verdict& verdict : data.result.verdicts) {
    const CheckSpec* check = check_of(data, verdict);
    if (check == nullptr) continue;
    const auto it =
        std::find_if(out.begin(), out.end(), [&](const CheckGroup& g) { return g.check == check; });
    if (it != out.end()) {
      it->verdicts.push_back(&verdict);
    } else {
      out.push_back({check, {&verdict}});
    }
  }
  return out;
}

/// What was seen and the limit; the outcome stands in a column of its own.
std::string seen_and_limit(const CheckSpec& check, const Verdict& verdict) {
  if (verdict.outcome == CheckOutcome::not_applicable) return "not applicable or not known";
  const std::string limit = limit_text(check, verdict);
  return seen_text(check, verdict) + (limit.empty() ? "" : ", " + limit);
}

template <class Text>
bool is_same(const CheckGroup& group, const Text& text_of) {
  return std::all_of(group.verdicts.begin(), group.verdicts.end(),
                     [&](const Verdict* v) { return text_of(*v) == text_of(*group.verdicts.front()); });
}

/// As short as it can be said: once for both directions, both figures before their common limit, or a line a
/// direction.
std::string seen_by_group(const ReportData& data, const CheckGroup& group) {
  const CheckSpec& check = *group.check;
  const Verdict& first = *group.verdicts.front();
  const bool has_same_end = is_same(group, [](const Verdict& v) { return v.outcome; }) &&
                            is_same(group, [&check](const Verdict& v) { return limit_text(check, v); });
  if (has_same_end && is_same(group, [&check](const Verdict& v) { return seen_and_limit(check, v); }))
    return (group.verdicts.size() > 1 ? "both: " : "") + seen_and_limit(check, first);
  if (has_same_end && group.verdicts.size() == 2)
    return seen_text(check, first) + " and " + seen_and_limit(check, *group.verdicts.back());
  std::string out;
  for (const Verdict* v : group.verdicts) {
    out += (out.empty() ? "" : "\n") + direction_of(data, *v) + ": " + seen_and_limit(check, *v);
    if (v->outcome != group.worst().outcome) out += ", " + outcome_text(check, *v);
  }
  return out;
}

std::string once_or_more(int count) { return count > 1 ? " (" + std::to_string(count) + " times)" : ""; }

}  // namespace

std::vector<Block> check_blocks(const ReportData& data) {
  TableBlock table;
  table.columns = {{"Outcome", "", CellAlign::left, 1.1},
                   {"Clause", "", CellAlign::left, 2.6},
                   {"Looked at", "", CellAlign::left, 3.05},
                   {"Seen, and the limit", "", CellAlign::left, 3.15},
                   {"Source", "", CellAlign::left, 0.9}};
  Sources sources;
  for (const CheckGroup& group : groups_of(data))
    table.rows.push_back({{outcome_text(*group.check, group.worst()), std::string(group.check->clause.view()),
                           std::string(check_title(group.check->kind)), seen_by_group(data, group),
                           sources.mark_of(*group.check)}});
  if (table.rows.empty()) return {Block{ParagraphBlock{"No check was made: the run did not get that far."}}};
  const std::string order =
      data.record.directions.size() > 1 ? "Two figures: of both directions, in the order of the test. " : "";
  return {Block{std::move(table)}, Block{ParagraphBlock{order + sources.legend()}}};
}

std::vector<Notice> deviation_notices(const ReportData& data) {
  std::vector<Notice> out;
  for (const Verdict& verdict : data.result.verdicts) {
    const CheckSpec* check = check_of(data, verdict);
    if (check == nullptr || verdict.outcome != CheckOutcome::failed || check->severity == Severity::invalid)
      continue;
    const bool deviates = check->severity == Severity::deviation;
    out.push_back({deviates ? "Deviation" : "Advice",
                   evidence_text(*check, verdict) + " (" + std::string(check->clause.view()) + "; " +
                       direction_of(data, verdict) + ").",
                   deviates ? NoticeSeverity::caution : NoticeSeverity::plain});
  }
  return out;
}

std::vector<Notice> event_notices(const ReportData& data) {
  const control::RunSpec run = data.story.run.value_or(control::RunSpec{});
  std::vector<Notice> out;
  for (const StoryEvent& told : data.story.events)
    out.push_back({(told.count > 1 ? "From " : "At ") + fixed_text(told.at_s / 60, 1) + " min",
                   event_text(told.event, data.meta.engine, run) + once_or_more(told.count),
                   NoticeSeverity::plain});
  if (data.story.is_broken)
    out.push_back({"At " + fixed_text(data.story.duration_s / 60, 1) + " min",
                   "The recording is damaged here: what followed it could not be read.",
                   NoticeSeverity::caution});
  return out;
}

std::vector<Notice> caution_notices(const ReportData& data) {
  std::vector<Notice> out;
  const std::string continued = continuation_text(data.record);
  if (data.is_test)
    for (const std::string& caution : cautions_of(data.state, data.record, data.result))
      out.push_back({caution == continued ? "Deviation" : "Caution", caution, NoticeSeverity::caution});
  out.push_back(
      {"Scope",
       "The figures hold for the building as it was prepared and for this day. Local codes and licensed "
       "practice come before anything that this report says; whether a target is met is theirs to judge.",
       NoticeSeverity::plain});
  return out;
}

}  // namespace leeward::daemon
