#include "daemon/config/read_checks.hpp"

#include <array>
#include <span>

namespace leeward::daemon {
namespace {

using control::CheckKind;
using control::CheckSpec;

/// Which limits a kind of check takes. `one_or_both`: at least one of the two.
enum class Limits : std::uint8_t { none, low, high, both, one_or_both };
struct CheckRule {
  CheckKind kind;
  Limits limits;
};

constexpr std::array kCheckKinds = std::to_array<Choice<CheckRule>>(
    {{"baseline_sign_means", {CheckKind::baseline_sign_means, Limits::high}},
     {"baseline_mean", {CheckKind::baseline_mean, Limits::high}},
     {"baseline_duration", {CheckKind::baseline_duration, Limits::low}},
     {"baseline_samples", {CheckKind::baseline_samples, Limits::low}},
     {"station_count", {CheckKind::station_count, Limits::low}},
     {"station_spacing", {CheckKind::station_spacing, Limits::high}},
     {"lowest_station", {CheckKind::lowest_station, Limits::one_or_both}},
     {"highest_station", {CheckKind::highest_station, Limits::one_or_both}},
     {"station_average", {CheckKind::station_average, Limits::low}},
     {"exponent_range", {CheckKind::exponent_range, Limits::both}},
     {"r2_min", {CheckKind::r2_min, Limits::low}},
     {"wind_speed", {CheckKind::wind_speed, Limits::high}},
     {"stack_product", {CheckKind::stack_product, Limits::high}},
     {"both_directions", {CheckKind::both_directions, Limits::none}},
     {"single_point_pressure", {CheckKind::single_point_pressure, Limits::high}},
     {"correlation_min", {CheckKind::correlation_min, Limits::low}},
     {"flow10_standard_error", {CheckKind::flow10_standard_error, Limits::high}},
     {"station_repeats", {CheckKind::station_repeats, Limits::low}},
     {"pressure_span", {CheckKind::pressure_span, Limits::low}},
     {"station_off_target", {CheckKind::station_off_target, Limits::high}},
     {"directions_differ", {CheckKind::directions_differ, Limits::high}},
     {"flow_calibration", {CheckKind::flow_calibration, Limits::high}},
     {"outdoor_temperature", {CheckKind::outdoor_temperature, Limits::one_or_both}}});
constexpr std::array kSeverities =
    std::to_array<Choice<control::Severity>>({{"invalid", control::Severity::invalid},
                                              {"deviation", control::Severity::deviation},
                                              {"advice", control::Severity::advice}});
constexpr std::array kMarks = std::to_array<Choice<control::Mark>>(
    {{"source", control::Mark::source}, {"memory", control::Mark::memory}});

constexpr NumberRange kLimit{0, 1e6, ""};
constexpr NumberRange kZeroFlowFactor{0, 20, "times the zero-flow pressure"};

void judge_limit(TableReader& entry, const char* key, bool given, bool wanted, bool allowed) {
  if (wanted && !given) entry.error(key, "missing: this kind of check needs it");
  if (given && !allowed) entry.error(key, "is not used by this kind of check");
}

void judge_limits(TableReader& entry, const CheckRule& rule) {
  const bool has_low = entry.has("low");
  const bool has_high = entry.has("high");
  const Limits limits = rule.limits;
  const bool either = limits == Limits::one_or_both;
  judge_limit(entry, "low", has_low, limits == Limits::low || limits == Limits::both,
              either || limits == Limits::low || limits == Limits::both);
  judge_limit(entry, "high", has_high, limits == Limits::high || limits == Limits::both,
              either || limits == Limits::high || limits == Limits::both);
  if (either && !has_low && !has_high)
    entry.error("low", "missing: this kind of check needs low, high or both");
  if (entry.has("zero_flow_factor") && rule.kind != CheckKind::lowest_station)
    entry.error("zero_flow_factor", "belongs to kind = \"lowest_station\" only");
}

void judge_together(TableReader& entry, const CheckRule& rule, const CheckSpec& check) {
  judge_limits(entry, rule);
  if (check.has_low && check.has_high && check.low > check.high) entry.error("low", "must not be above high");
  if (check.mark == control::Mark::source && !entry.has("source"))
    entry.error("source", "missing: mark = \"source\" must name what was read");
}

void read_check(TableReader& entry, control::ProcedureSpec& procedure) {
  CheckSpec check;
  CheckRule rule{CheckKind::station_count, Limits::none};
  const std::size_t errors_before = entry.findings().errors.size();
  entry.choice<CheckRule>("kind", rule, kCheckKinds, Need::required);
  check.kind = rule.kind;
  check.has_low = entry.number("low", check.low, kLimit);
  check.has_high = entry.number("high", check.high, kLimit);
  entry.number("zero_flow_factor", check.zero_flow_factor, kZeroFlowFactor);
  entry.choice<control::Severity>("severity", check.severity, kSeverities, Need::required);
  entry.text("clause", check.clause, Need::required);
  entry.choice<control::Mark>("mark", check.mark, kMarks, Need::required);
  entry.text("source", check.source);
  entry.finish();
  if (entry.findings().errors.size() == errors_before) judge_together(entry, rule, check);
  if (!procedure.checks.push_back(check))
    entry.error("kind", "is one too many: with those of the other file there are more than 24");
}

}  // namespace

void read_checks(TableReader& file, control::ProcedureSpec& procedure) {
  for (TableReader& entry : file.tables("check", control::kMaxChecks)) read_check(entry, procedure);
}

}  // namespace leeward::daemon
