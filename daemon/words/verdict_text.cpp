#include "daemon/words/verdict_text.hpp"

#include <array>

#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::CheckKind;
using control::CheckOutcome;
using control::CheckSpec;
using control::Verdict;

struct CheckWords {
  std::string_view title;
  std::string_view label;
  std::string_view unit;
};

/// In the order of CheckKind.
constexpr std::array<CheckWords, EnumNames<CheckKind>::kNames.size()> kCheckWords{{
    {"Largest mean of the positive or of the negative zero-flow pressures", "Zero-flow mean of one sign",
     "Pa"},
    {"Largest mean zero-flow pressure", "Zero-flow mean", "Pa"},
    {"Shortest zero-flow measurement", "Zero-flow measurement", "s"},
    {"Fewest samples of a zero-flow measurement", "Zero-flow samples", ""},
    {"Number of pressure stations", "Number of stations", ""},
    {"Largest step between neighbouring stations", "Largest station step", "Pa"},
    {"Lowest station, induced", "Lowest station, induced", "Pa"},
    {"Highest station, induced", "Highest station, induced", "Pa"},
    {"Shortest average of a station", "Shortest station average", "s"},
    {"Flow exponent n", "Flow exponent n", ""},
    {"Coefficient of determination r2", "Determination r2", ""},
    {"Reported wind speed", "Reported wind speed", "m/s"},
    {"Temperature difference times height", "Temp. difference x height", "m K"},
    {"Both directions measured", "Both directions measured", ""},
    {"Distance of the station from the reference pressure", "Distance from the reference", "Pa"},
    {"Correlation coefficient of the logarithms", "Correlation coefficient", ""},
    {"Standard error of the fitted flow at 10 Pa", "Standard error at 10 Pa", "%"},
    {"Fewest measurements of one pressure", "Measurements of a pressure", ""},
    {"Highest less lowest induced pressure", "Span of the stations", "Pa"},
    {"Largest distance of a station from its target", "Distance from the target", "Pa"},
    {"Difference of the two directions, of their mean", "Difference of directions", "%"},
    {"Expanded uncertainty (k = 2) of the flow's calibration", "Flow calibration, k = 2", "%"},
    {"Outdoor temperature", "Outdoor temperature", "degrees C"},
}};

const CheckWords& words_of(CheckKind kind) {
  static constexpr CheckWords unknown{"A check that this version does not know", "Unknown check", ""};
  const auto i = static_cast<std::size_t>(kind);
  return i < kCheckWords.size() ? kCheckWords[i] : unknown;
}

/// Whether the figure was compared with an upper limit; with two limits the verdict holds the nearer one.
bool upper_limit(const CheckSpec& check, const Verdict& verdict) {
  const bool has_low = check.has_low || check.zero_flow_factor > 0;
  if (!has_low) return true;
  return check.has_high && verdict.limit == check.high && !(check.has_low && verdict.limit == check.low);
}

bool is_count(CheckKind kind) {
  return kind == CheckKind::station_count || kind == CheckKind::baseline_samples ||
         kind == CheckKind::station_repeats;
}

std::string figure_words(CheckKind kind, double value) {
  // r2 lives close to 1: three digits would hide what matters.
  if (kind == CheckKind::r2_min || kind == CheckKind::correlation_min) return fixed_text(value, 4);
  if (kind == CheckKind::exponent_range) return fixed_text(value, 3);
  if (is_count(kind)) return fixed_text(value, 0);
  return figure_text(value, check_unit(kind));
}

}  // namespace

std::string evidence_text(const CheckSpec& check, const Verdict& verdict) {
  const std::string title(check_title(check.kind));
  if (verdict.outcome == CheckOutcome::not_applicable) return title + ": not applicable or not known";
  const std::string limit = limit_text(check, verdict);
  if (limit.empty()) return title + ": " + seen_text(check, verdict);
  return title + ": " + seen_text(check, verdict) + ", " + limit +
         (verdict.outcome == CheckOutcome::passed ? ": passed" : ": failed");
}

std::string_view check_title(CheckKind kind) { return words_of(kind).title; }

std::string_view check_label(CheckKind kind) { return words_of(kind).label; }

std::string_view check_unit(CheckKind kind) { return words_of(kind).unit; }

std::string seen_text(const CheckSpec& check, const Verdict& verdict) {
  if (verdict.outcome == CheckOutcome::not_applicable) return {};
  if (check.kind == CheckKind::both_directions)
    return verdict.outcome == CheckOutcome::passed ? "yes" : "no, only one";
  return figure_words(check.kind, verdict.seen);
}

std::string limit_text(const CheckSpec& check, const Verdict& verdict) {
  if (verdict.outcome == CheckOutcome::not_applicable || check.kind == CheckKind::both_directions) return {};
  return (upper_limit(check, verdict) ? "at most " : "at least ") + figure_words(check.kind, verdict.limit);
}

std::string mark_text(const CheckSpec& check) {
  if (check.mark == control::Mark::memory) return "limit not checked against the standard's text";
  return check.source.empty() ? "limit read in the source"
                              : "limit read in " + std::string(check.source.view());
}

std::string verdict_text(const CheckSpec& check, const Verdict& verdict) {
  std::string text = evidence_text(check, verdict);
  text += " (";
  if (!check.clause.empty()) text += std::string(check.clause.view()) + "; ";
  text += mark_text(check) + ")";
  return text;
}

}  // namespace leeward::daemon
