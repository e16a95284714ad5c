#include "control/analysis/validity.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "control/analysis/induced_station.hpp"
#include "control/analysis/student_t.hpp"
#include "control/analysis/zero_flow.hpp"

namespace leeward::control {

namespace {

constexpr double kPercent = 100;

/// What a check looks at; nullopt = there is no such figure.
using Seen = std::optional<double>;

/// One direction as the checks see it.
struct Subject {
  const ProcedureSpec& procedure;
  const DirectionRecord& record;
  const DirectionResult& result;
};

double seconds_between(std::int64_t begin_ns, std::int64_t end_ns) {
  return static_cast<double>(end_ns - begin_ns) * 1e-9;
}

template <class Figure>
double least_of_baselines(const Subject& s, Figure figure) {
  double before = s.record.before.taken ? figure(s.record.before) : 0.0;
  for (const KeptPart& part : s.record.kept) before = std::min(before, figure(part.before));
  if (s.record.after.taken) return std::min(before, figure(s.record.after));
  return s.procedure.baseline_after ? 0.0 : before;
}

Seen largest_baseline_mean(const Subject& s) {
  Seen largest;
  for (const BaselineRecord* b : {&s.record.before, &s.record.after})
    if (b->taken) largest = std::max(largest.value_or(0), std::abs(b->mean_pa));
  for (const KeptPart& part : s.record.kept)
    largest = std::max(largest.value_or(0), std::abs(part.before.mean_pa));
  return largest;
}

struct Induced {
  std::array<double, kMaxStations> pa{};  ///< ascending
  std::size_t count = 0;
};

Induced induced_of(const DirectionResult& result) {
  Induced induced;
  for (const StationResult& station : result.stations)
    if (fit_takes(station)) induced.pa[induced.count++] = station.induced_pa;
  std::sort(induced.pa.begin(), induced.pa.begin() + static_cast<std::ptrdiff_t>(induced.count));
  return induced;
}

Seen largest_step(const Induced& induced) {
  Seen largest;
  for (std::size_t i = 1; i < induced.count; ++i)
    largest = std::max(largest.value_or(0), induced.pa[i] - induced.pa[i - 1]);
  return largest;
}

Seen largest_distance(const Induced& induced, double from_pa) {
  if (induced.count == 0) return {};
  return std::max(std::abs(induced.pa[0] - from_pa), std::abs(induced.pa[induced.count - 1] - from_pa));
}

Seen span_of(const Induced& induced) {
  return induced.count > 0 ? Seen(induced.pa[induced.count - 1] - induced.pa[0]) : Seen();
}

Seen largest_off_target(const DirectionResult& result) {
  Seen largest;
  for (const StationResult& station : result.stations)
    if (fit_takes(station))
      largest = std::max(largest.value_or(0), std::abs(station.induced_pa - station.target_pa));
  return largest;
}

/// How often the target that was measured least often was measured.
Seen fewest_repeats(const Subject& s) {
  Seen fewest;
  for (const double target_pa : s.procedure.stations_pa) {
    double count = 0;
    for (const StationResult& station : s.result.stations)
      if (fit_takes(station) && station.target_pa == target_pa) ++count;
    fewest = std::min(fewest.value_or(count), count);
  }
  return fewest;
}

/// Expanded by 2; what the fan file does not state is not known.
Seen calibration_of(const DirectionRecord& record) {
  Seen largest;
  for (const StationRecord& station : record.stations)
    if (station.flow_k_relative_u > 0)
      largest = std::max(largest.value_or(0), kPercent * 2 * station.flow_k_relative_u);
  return largest;
}

/// From the interval of the line, which is as many standard errors wide as Student's t says.
Seen standard_error_at_10_pa(const Subject& s) {
  const FitResult& fit = s.result.standard_env;
  if (fit.degrees_of_freedom < 1) return {};
  const Interval& q10 = fit.flows.q10_m3_s;
  return kPercent * std::log(q10.high / q10.value) /
         student_t_two_sided(s.procedure.confidence, fit.degrees_of_freedom);
}

Seen seen_in_fit(CheckKind kind, const Subject& s) {
  if (!s.result.standard_env.valid || s.procedure.fit != FitMethod::ols_loglog) return {};
  const FitResult& fit = s.result.standard_env;
  if (kind == CheckKind::exponent_range) return fit.n.value;
  if (kind == CheckKind::r2_min) return fit.r2;
  if (kind == CheckKind::correlation_min) return std::copysign(std::sqrt(fit.r2), fit.n.value);
  return standard_error_at_10_pa(s);
}

Seen shortest_average(const Subject& s) {
  Seen shortest;
  for (std::size_t i = 0; i < s.record.stations.size(); ++i) {
    if (!fit_takes(s.result.stations[i])) continue;
    const StationRecord& station = s.record.stations[i];
    const double length_s = seconds_between(station.begin_ns, station.end_ns);
    shortest = shortest ? std::min(*shortest, length_s) : length_s;
  }
  return shortest;
}

Seen seen_in_stations(CheckKind kind, const Subject& s) {
  const Induced induced = induced_of(s.result);
  switch (kind) {
    case CheckKind::station_count:
      return static_cast<double>(induced.count);
    case CheckKind::station_spacing:
      return largest_step(induced);
    case CheckKind::lowest_station:
      return induced.count > 0 ? Seen(induced.pa[0]) : Seen();
    case CheckKind::highest_station:
      return induced.count > 0 ? Seen(induced.pa[induced.count - 1]) : Seen();
    case CheckKind::single_point_pressure:
      return largest_distance(induced, s.procedure.reference_pressure_pa);
    case CheckKind::pressure_span:
      return span_of(induced);
    case CheckKind::station_average:
      return shortest_average(s);
    case CheckKind::station_repeats:
      return fewest_repeats(s);
    case CheckKind::station_off_target:
      return largest_off_target(s.result);
    case CheckKind::flow_calibration:
      return calibration_of(s.record);
    default:
      return {};
  }
}

Seen seen_in_direction(CheckKind kind, const Subject& s) {
  const bool has_baseline = s.record.before.taken || s.record.after.taken;
  switch (kind) {
    case CheckKind::baseline_sign_means:
      return has_baseline ? Seen(largest_sign_mean_pa(s.record)) : Seen();
    case CheckKind::baseline_mean:
      return largest_baseline_mean(s);
    case CheckKind::baseline_duration:
      return least_of_baselines(s, [](const auto& b) { return seconds_between(b.begin_ns, b.end_ns); });
    case CheckKind::baseline_samples:
      return least_of_baselines(s, [](const auto& b) { return static_cast<double>(b.samples); });
    case CheckKind::exponent_range:
    case CheckKind::r2_min:
    case CheckKind::correlation_min:
    case CheckKind::flow10_standard_error:
      return seen_in_fit(kind, s);
    default:
      return seen_in_stations(kind, s);
  }
}

bool is_of_whole_run(CheckKind kind) {
  return kind == CheckKind::both_directions || kind == CheckKind::directions_differ;
}

double measured_directions(const FixedVector<DirectionResult, 2>& directions) {
  double out = 0;
  double in = 0;
  for (const DirectionResult& d : directions)
    if (induced_of(d).count > 0) (d.direction == Direction::depressurize ? out : in) = 1;
  return out + in;
}

/// Of the flows that the procedure's own fit states, about their mean.
Seen difference_of(const FixedVector<DirectionResult, 2>& directions) {
  if (directions.size() < 2 || !directions[0].standard.valid || !directions[1].standard.valid) return {};
  const double a = directions[0].standard.q_ref_m3_s.value;
  const double b = directions[1].standard.q_ref_m3_s.value;
  return kPercent * std::abs(a - b) / (0.5 * (a + b));
}

Seen seen_in_run(CheckKind kind, const FixedVector<DirectionResult, 2>& directions) {
  if (kind == CheckKind::both_directions) return measured_directions(directions);
  if (kind == CheckKind::directions_differ) return difference_of(directions);
  return {};
}

Seen seen_in_weather(CheckKind kind, const BuildingSpec& building, const ConditionsSpec& conditions) {
  if (kind == CheckKind::outdoor_temperature) return conditions.outdoor_c;
  if (kind == CheckKind::wind_speed) return conditions.has_wind ? Seen(conditions.wind_m_s) : Seen();
  if (!(building.height_m > 0)) return {};
  return std::abs(conditions.indoor_c - conditions.outdoor_c) * building.height_m;
}

bool is_of_weather(CheckKind kind) {
  return kind == CheckKind::wind_speed || kind == CheckKind::stack_product ||
         kind == CheckKind::outdoor_temperature;
}

struct Limits {
  std::optional<double> low;
  std::optional<double> high;
};

Limits limits_of(const CheckSpec& check, double zero_flow_pa) {
  Limits limits;
  if (check.has_low) limits.low = check.low;
  if (check.has_high) limits.high = check.high;
  if (check.kind == CheckKind::both_directions && !check.has_low) limits.low = 2;
  if (check.kind == CheckKind::lowest_station && check.zero_flow_factor > 0)
    limits.low = std::max(limits.low.value_or(0), check.zero_flow_factor * zero_flow_pa);
  return limits;
}

void judge(Verdict& verdict, Seen seen, const Limits& limits) {
  if (!seen || (!limits.low && !limits.high)) return;
  verdict.seen = *seen;
  const bool low_is_nearer =
      limits.low && (!limits.high || std::abs(*seen - *limits.low) <= std::abs(*seen - *limits.high));
  verdict.limit = low_is_nearer ? *limits.low : *limits.high;
  const bool kept = (!limits.low || *seen >= *limits.low) && (!limits.high || *seen <= *limits.high);
  verdict.outcome = kept ? CheckOutcome::passed : CheckOutcome::failed;
}

/// The weather of every part counts: the first that fails is told.
void judge_weather(Verdict& verdict, const CheckSpec& check, const RunRecord& run) {
  const auto take = [&](const ConditionsSpec& conditions) {
    if (verdict.outcome != CheckOutcome::failed)
      judge(verdict, seen_in_weather(check.kind, run.building, conditions), limits_of(check, 0));
  };
  for (const DirectionRecord& direction : run.directions) {
    for (const KeptPart& part : direction.kept) take(part.conditions);
    if (direction.kept_whole) take(direction.conditions);
  }
  take(run.conditions);
}

}  // namespace

Verdicts check_validity(const RunRecord& run, const FixedVector<DirectionResult, 2>& directions) noexcept {
  Verdicts verdicts;
  for (std::size_t i = 0; i < run.procedure.checks.size(); ++i) {
    const CheckSpec& check = run.procedure.checks[i];
    Verdict verdict{.check = static_cast<int>(i), .direction = -1};
    if (is_of_weather(check.kind)) {
      judge_weather(verdict, check, run);
      verdicts.push_back(verdict);
      continue;
    }
    if (is_of_whole_run(check.kind)) {
      judge(verdict, seen_in_run(check.kind, directions), limits_of(check, 0));
      verdicts.push_back(verdict);
      continue;
    }
    for (std::size_t d = 0; d < directions.size(); ++d) {
      verdict = {.check = static_cast<int>(i), .direction = static_cast<int>(d)};
      const Subject subject{run.procedure, run.directions[d], directions[d]};
      judge(verdict, seen_in_direction(check.kind, subject),
            limits_of(check, largest_sign_mean_pa(run.directions[d])));
      verdicts.push_back(verdict);
    }
  }
  return verdicts;
}

bool any_invalidates(const ProcedureSpec& procedure, const Verdicts& verdicts) noexcept {
  return std::any_of(verdicts.begin(), verdicts.end(), [&](const Verdict& v) {
    return v.outcome == CheckOutcome::failed &&
           procedure.checks[static_cast<std::size_t>(v.check)].severity == Severity::invalid;
  });
}

}  // namespace leeward::control
