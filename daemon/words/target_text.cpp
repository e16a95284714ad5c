#include "daemon/words/target_text.hpp"

#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::TargetMetric;

/// What a result needs before it can be held against the limit.
std::string_view needed_size(TargetMetric metric) {
  if (metric == TargetMetric::n50) return "the volume";
  if (metric == TargetMetric::qf50) return "the floor area";
  return metric == TargetMetric::q4_loss ? "the heat-loss area without the lowest floor"
                                         : "the envelope area";
}

std::string mark_words(const control::TargetSpec& target) {
  return target.mark == control::Mark::memory ? "limit not checked against the code's text"
                                              : "limit read in " + std::string(target.source.view());
}

}  // namespace

std::string_view target_metric_text(TargetMetric metric) {
  switch (metric) {
    case TargetMetric::n50:
      return "air changes at 50 Pa";
    case TargetMetric::qe50:
      return "flow at 50 Pa per envelope area";
    case TargetMetric::qf50:
      return "flow at 50 Pa per floor area";
    case TargetMetric::qe75:
      return "flow at 75 Pa per envelope area";
    case TargetMetric::qe4:
      return "flow at 4 Pa per envelope area";
    case TargetMetric::q4_loss:
      return "flow at 4 Pa per heat-loss area without the lowest floor";
    case TargetMetric::normalized_area:
      break;
  }
  return "leakage area at 10 Pa per envelope area";
}

std::string target_limit_text(const control::TargetSpec& target) {
  return std::string(target_metric_text(target.metric)) + ", at most " +
         figure_text(target.limit, name_of(target.unit));
}

std::string target_text(const control::TargetSpec& target, const control::TargetVerdict& verdict,
                        control::Decision decision) {
  std::string title = std::string(target.title.view()) + " (" + std::string(target.programme.view());
  if (!target.edition.empty()) title += ", " + std::string(target.edition.view());
  title += ")";
  if (!verdict.judged)
    return title + ": not judged, since " + std::string(target_metric_text(target.metric)) +
           " is not known; it needs a result and " + std::string(needed_size(target.metric)) + " (" +
           mark_words(target) + ")";
  const std::string_view unit = name_of(target.unit);
  std::string text =
      title + ": " + std::string(target_metric_text(target.metric)) + " " + figure_text(verdict.value, unit);
  if (decision == control::Decision::guarded)
    text += ", with 95 % confidence not above " + figure_text(verdict.upper, unit);
  if (verdict.factor != 1)
    text += ", times " + fixed_text(verdict.factor, 2) + " by the programme " +
            figure_text(verdict.compared, unit);
  text += ", at most " + figure_text(target.limit, unit);
  text += verdict.passed ? ": passed" : ": failed";
  return text + " (rule " + std::string(name_of(decision)) + "; " + mark_words(target) + ")";
}

}  // namespace leeward::daemon
